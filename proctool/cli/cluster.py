"""Options of `build` for work on other machines."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import click

from proctool.api import Cluster, ClusterError, Papers
from proctool.cli.common import fail

F = TypeVar("F", bound=Callable[..., Any])

_FILE = click.Path(path_type=Path)


def cluster_options(command: F) -> F:
    """The options on a command, which takes them as the parameters of `joined`, the first as `cluster`."""
    for option in (
        click.option("--in-the-clear", is_flag=True, help="Use a cluster without certificates."),
        click.option("--tls-key", "key", type=_FILE, metavar="FILE", help="Our private key."),
        click.option("--tls-certificate", "certificate", type=_FILE, metavar="FILE", help="Our certificate."),
        click.option(
            "--tls-authority", "authority", type=_FILE, metavar="FILE", help="Who signs for the cluster."
        ),
        click.option(
            "--cluster", metavar="ADDRESS", help="Share the work with the workers of this Dask scheduler."
        ),
    ):
        command = option(command)
    return command


@contextmanager
def joined(
    address: str | None,
    authority: Path | None,
    certificate: Path | None,
    key: Path | None,
    *,
    in_the_clear: bool,
) -> Iterator[Cluster | None]:
    """The cluster at an address, closed afterwards; None without one. Leaves with a sentence on a failure."""
    given = (authority, certificate, key)
    if address is None:
        if any(given) or in_the_clear:
            fail("The options for certificates and --in-the-clear belong to --cluster ADDRESS.")
        yield None
        return
    papers = None
    if authority is not None and certificate is not None and key is not None:
        papers = Papers(authority, certificate, key)
    elif any(given):
        fail("Give --tls-authority, --tls-certificate and --tls-key together.")
    try:
        cluster = Cluster(address, papers, in_the_clear=in_the_clear)
        try:
            yield cluster
        finally:
            cluster.close()
    except ClusterError as error:
        fail(str(error))
