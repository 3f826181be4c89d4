"""Kept results: the same as those worked out afresh, whatever was changed in between, and the reason told."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import fields, is_dataclass, replace
from datetime import date
from pathlib import Path
from random import Random

import pytest

from benchmarks.library import library
from proctool.api import Library, Means, crew, open_library, open_store
from proctool.casework import Bench
from proctool.kept.codec import DamagedError, decode, encode
from proctool.model.digest import exact
from proctool.results import Outcome

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
HTML = frozenset({"html"})


def encoded(files):
    return {name: text.encode() for name, text in files.items()}


@pytest.fixture
def kept():
    store = open_store()
    yield Means(crew(1), store)
    store.close()


EDITS = (
    ("100 and up", "150 and up"),
    ("4.0 bar", "4.5 bar"),
    ("open: sediment", "clean: {part: sediment, what: face}"),
    ("time: 40 min", "time: 1 min"),
    ("near: [pump]", "near: []"),
    ("- use: make-safe\n", ""),
    ("Wipe place", "Tell the crew and wipe place"),
    ("lock: hasp", "lock: none"),
    ("torque", "torq"),
    ("library: ", "library: More "),
    ("steps:\n", "steps:\n# a remark moves every line\n"),
)


@pytest.mark.parametrize("seed", range(2))
def test_any_edits_one_after_the_other(seed, kept):
    """What is kept never shows: a check that may look things up is the check afresh."""
    rng = Random(seed)  # noqa: S311 - edits, not secrets
    files = library(4, seed=seed)
    for _ in range(8):
        name = rng.choice(sorted(files))
        before, after = rng.choice(EDITS)
        match rng.randrange(8):
            case 0:
                files = {key: text for key, text in files.items() if key != name}
            case 1:
                files = {**files, f"more/{name.rpartition('/')[2]}": files[name]}
            case _:
                files = {key: text.replace(before, after) for key, text in files.items()}
        day = rng.choice((DAY, date(2027, 11, 25)))
        afresh = Library(encoded(files)).check(today=day)
        for _ in range(2):
            assert Library(encoded(files)).check(today=day, means=kept) == afresh


@pytest.mark.parametrize("folder", ["procedures", "household"])
def test_demonstrations_come_back_as_they_were(folder, kept):
    folder = ROOT / folder
    first = open_library(folder).check(today=DAY, means=kept)
    assert open_library(folder).check(today=DAY, means=kept) == first == open_library(folder).check(today=DAY)


class TestWhy:
    def built(self, files, to, means):
        built = Library(encoded(files)).build(to, formats=HTML, today=DAY, means=means)
        return {(one.procedure, one.unit): one.why for one in built.anew}

    def test_what_differs_is_named_and_the_rest_is_looked_up(self, tmp_path, kept):
        files = library(2, seed=1)
        first = self.built(files, tmp_path, kept)
        assert set(first.values()) == {("nothing is kept of it",)}
        assert self.built(files, tmp_path, kept) == {}
        unit = {**files, "units/u1-2.yaml": files["units/u1-2.yaml"].replace("200 and up", "250 and up")}
        assert self.built(unit, tmp_path, kept) == {("p1", "U1-2"): ("unit U1-2",)}
        procedure = {**files, "f0/p0.yaml": files["f0/p0.yaml"].replace("Service 0", "Serve it")}
        again = self.built(procedure, tmp_path, kept)
        assert again == {("p0", f"U0-{n}"): ("the procedure",) for n in (1, 2, 3)}
        block = "blocks/make-safe.yaml"
        found = self.built({**files, block: files[block].replace("title: ", "title: The ")}, tmp_path, kept)
        assert "block make-safe" in found["p0", "U0-1"]
        assert len(found) == len(first)

    def test_another_library_of_the_same_name_shares_outcomes_and_nothing_wrong(self, tmp_path, kept):
        one, other = library(2, seed=3), library(2, seed=4)
        for files in (one, other, one):
            to = tmp_path / str(id(files))
            self.built(files, to, kept)
            afresh = Library(encoded(files)).build(tmp_path / "afresh", formats=HTML, today=DAY)
            for path in afresh.written:
                assert (to / path.relative_to(tmp_path / "afresh")).read_bytes() == path.read_bytes()


class TestCodec:
    @pytest.mark.parametrize("seed", range(4))
    def test_outcomes_come_back_whole(self, seed):
        """Those of damaged procedures too, with traces, stories, mends and related places."""
        files = {k: v.replace("lock: hasp", "lock: none") for k, v in library(4, seed=seed).items()}
        for case in Library(encoded(files)).cases(today=DAY):
            assert decode(encode(case.outcome), Outcome) == case.outcome

    @pytest.mark.parametrize("data", [b"", b"{}", b"[]", b"\xff", b'{"judgement": 1}', b"null"])
    def test_what_is_none_is_refused(self, data):
        with pytest.raises(DamagedError):
            decode(data, Outcome)


class TestExact:
    def test_every_field_counts(self):
        """A change in any field of any record of a plan changes the digest."""
        library_ = open_library(ROOT / "procedures")
        assert library_.file is not None
        bench = Bench(
            library_.file, library_.blocks, library_.units.known, library_.levels[0], library_.watchlist, 9
        )
        whole = (bench, library_.procedures["change-cartridges"], library_.units.whole["KW-4"])
        seen: set[type] = set()
        for value in whole:
            for record in records(value):
                if type(record) in seen:
                    continue
                seen.add(type(record))
                for field in fields(record):
                    assert exact(replace(record, **{field.name: "another"})) != exact(record), field
        assert len(seen) > 25

    def test_unknown_things_are_refused(self):
        with pytest.raises(TypeError):
            exact(object())

    @pytest.mark.parametrize(
        ("one", "other"),
        [
            (("a", "b"), ("ab",)),
            ((), None),
            ({"a": 1}, (("a", 1),)),
            ("1", 1),
            (b"a", "a"),
            (frozenset(), ()),
        ],
    )
    def test_values_of_different_kinds_differ(self, one, other):
        assert exact(one) != exact(other)

    def test_the_same_in_every_process(self):
        code = (
            "from proctool.api import open_library; from proctool.model.digest import exact\n"
            "l = open_library('procedures')\n"
            "print(exact([l.watchlist, l.units.known, l.units.whole['KW-4']]))"
        )
        told = {
            subprocess.run(
                [sys.executable, "-c", code],
                env={**os.environ, "PYTHONHASHSEED": seed},
                cwd=ROOT,
                capture_output=True,
                check=True,
            ).stdout
            for seed in ("1", "2")
        }
        assert len(told) == 1


def records(value):
    """Every record in a value, itself too."""
    if is_dataclass(value):
        yield value
        for field in fields(value):
            yield from records(getattr(value, field.name))
    elif isinstance(value, (tuple, frozenset)):
        for item in value:
            yield from records(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from records(item)
