"""A build shared with a real scheduler and two real workers on the loopback, under TLS.

The outside check is the build of one process: the same bytes, whoever did the work and whoever was lost.
"""

from __future__ import annotations

from datetime import date
from typing import ClassVar

import pytest

from benchmarks.library import library
from proctool.api import Library, Means, crew
from proctool.cluster import Cluster, ClusterError, Done, Papers
from proctool.crew import Alone
from proctool.kept.store import open_store
from tests.cluster.machines import Machines

pytestmark = pytest.mark.xdist_group("cluster")

DAY = date(2026, 11, 25)
FORMATS = frozenset({"html", "card"})


@pytest.fixture(scope="module")
def machines(tmp_path_factory):
    with Machines(tmp_path_factory.mktemp("cluster")) as started:
        yield started


@pytest.fixture
def cluster(machines):
    found = Cluster(machines.address, Papers(*machines.papers))
    yield found
    found.close()


@pytest.fixture(scope="module")
def invented():
    return Library.from_texts(library(4, seed=8))


def built(invented, to, means, watch=None):
    more = {} if watch is None else {"watch": watch}
    found = invented.build(to, formats=FORMATS, today=DAY, means=means, **more)
    assert not found.failed
    return {p.relative_to(to).as_posix(): p.read_bytes() for p in sorted(to.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def expected(invented, tmp_path_factory):
    return built(invented, tmp_path_factory.mktemp("alone") / "out", Means(crew(1)))


def test_the_same_bytes_as_on_one_machine(cluster, invented, expected, tmp_path):
    assert len(expected) > 10
    assert built(invented, tmp_path / "out", Means(cluster)) == expected


def test_what_came_from_the_cluster_is_kept_here(cluster, invented, expected, tmp_path):
    store = open_store()
    assert built(invented, tmp_path / "out", Means(cluster, store)) == expected
    again = invented.build(tmp_path / "again", formats=FORMATS, today=DAY, means=Means(crew(1), store))
    assert again.anew == ()


def test_a_worker_that_is_lost_in_the_middle(machines, cluster, invented, expected, tmp_path):
    """Its tasks are done again by the other; the build says nothing, for nothing is missing."""
    doomed = machines.workers.pop(0)

    def watch(label, many, done):
        for place, one in enumerate(done):
            if label == "writing" and place == 2:
                doomed.kill()
            yield one

    try:
        assert built(invented, tmp_path / "out", Means(cluster), watch) == expected
        assert doomed.wait(10) != 0
    finally:
        machines.add_worker()


class TestRefusals:
    def test_without_certificates_nothing_is_sent(self, machines):
        with pytest.raises(ClusterError, match="--in-the-clear"):
            Cluster(machines.address, None)

    def test_certificates_for_an_address_without_tls(self, machines):
        with pytest.raises(ClusterError, match="begins with tls://"):
            Cluster(machines.address.replace("tls", "tcp"), Papers(*machines.papers))

    def test_a_certificate_that_another_authority_signed(self, machines, tmp_path):
        strangers = Machines(tmp_path)
        with pytest.raises(ClusterError, match="No scheduler answers"):
            Cluster(machines.address, Papers(*strangers.papers))

    def test_a_certificate_that_is_not_there(self, machines):
        papers = Papers(machines.folder / "none.pem", *machines.papers[1:])
        with pytest.raises(ClusterError, match=r"no certificate or key file .*none\.pem"):
            Cluster(machines.address, papers)

    @pytest.mark.parametrize(
        "address", ["nonsense", "tls://", "tls://host", "http://host:1", "tls://ho st:1"]
    )
    def test_an_address_that_is_none(self, address, machines):
        with pytest.raises(ClusterError, match="expected an address such as"):
            Cluster(address, Papers(*machines.papers))

    def test_a_worker_with_another_proctool(self, cluster):
        done = Done(b"{}", "", "another", "tls://10.0.0.7:1")
        with pytest.raises(ClusterError, match=r"Worker tls://10\.0\.0\.7:1 has another proctool"):
            cluster._opened(done, dict)

    def test_what_arrives_damaged(self, cluster):
        done = Done(b"{}", "not its digest", cluster._about, "tls://10.0.0.7:1")
        with pytest.raises(ClusterError, match="arrived damaged"):
            cluster._opened(done, dict)


class Elsewhere:
    """Workers of another machine, as far as their work shows it."""

    here: ClassVar[bool] = False

    def __init__(self):
        self.shared = []

    def each(self, work, items):
        self.shared.append(work.shared)
        return Alone().each(work, items)

    def close(self):
        """Nothing is under way."""


def test_workers_elsewhere_are_given_no_store_to_look_into(invented, tmp_path):
    there = Elsewhere()
    invented.build(tmp_path / "out", formats=FORMATS, today=DAY, means=Means(there, open_store()))
    _, press = there.shared
    assert press.look is None
