"""What 29 CFR 1910.147(c)(4)(ii) lists is found in the steps of each case, and missed where it is out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from proctool.api import Library, audited, open_library
from proctool.model.audit import Audited
from proctool.model.coverage import Mark
from proctool.model.plan import every_step
from tests.cli.plant import FILES

DEMO = Path(__file__).parents[2] / "procedures"
TODAY = date(2026, 6, 1)
ACTS = {
    "shut down": {"stop"},
    "isolate": {"isolate"},
    "secure": {"lock"},
    "place lockout devices": {"lock"},
    "remove lockout devices": {"unlock"},
    "block, relieve": {"vent", "discharge", "flush", "open"},
    "test that it is zero": {"verify_zero"},
}
"""What a step that is named for a requirement must do, read from its acts alone."""


def small(file: str = "library.yaml", old: str = "", new: str = "") -> Audited:
    texts = {**FILES, file: FILES[file].replace(old, new)}
    assert not old or FILES[file].count(old) == 1
    found = audited(Library.from_texts(texts), version="0", unit="F-1", today=TODAY)
    return found.audit.cases[0]


def missed(case: Audited) -> set[str]:
    return {asked.asks for asked in case.requirements if asked.mark.gap}


def test_every_case_of_the_demonstration_that_opens_something_holds_the_whole_list():
    found = audited(open_library(DEMO), version="0", today=TODAY)
    opening = [case for case in found.audit.cases if case.coverage.rows]
    assert len(opening) == 24
    for case in opening:
        assert {asked.clause for asked in case.requirements} == {"(A)", "(B)", "(C)", "(D)"}
        assert missed(case) == set()
        assert case.plan is not None
        acts = {step.id: {act.verb for act in step.acts} for step in every_step(case.plan.frame)}
        for asked in case.requirements:
            assert asked.steps or asked.mark in {Mark.NOT_ASKED, Mark.WORD}
            assert all(acts[step] & ACTS[asked.asks] for step in asked.steps), asked


def test_a_round_that_opens_nothing_is_not_asked():
    found = audited(open_library(DEMO), version="0", procedure="weekly-round", unit="KW-2", today=TODAY)
    assert found.audit.cases[0].requirements == ()


@pytest.mark.parametrize(
    ("file", "old", "new", "asks"),
    [
        ("change-filter.yaml", "due: [{every: 6 months}]\n", "", {"intended use"}),
        ("change-filter.yaml", "people: [technician]\n", "", {"who answers for locks"}),
        ("blocks/make-safe.yaml", "        lock: device\n", "", {"secure", "place lockout devices"}),
        (
            "change-filter.yaml",
            "  - do: Take your lock off the <inlet>.\n    id: lock-off\n    unlock: inlet\n",
            "",
            {"remove lockout devices"},
        ),
        (
            "blocks/make-safe.yaml",
            "      - verify_zero: part\n",
            "      - check: Look.\n",
            {"test that it is zero"},
        ),
    ],
)
def test_what_is_taken_out_is_missed(file, old, new, asks):
    assert missed(small()) == set()
    assert missed(small(file, old, new)) == asks


def test_a_machine_that_still_runs_when_it_is_cut_off_is_told():
    texts = {
        path.relative_to(DEMO).as_posix(): path.read_text(encoding="utf-8") for path in DEMO.rglob("*.yaml")
    }
    stop = "      - stop: machine\n"
    assert texts["blocks/make-safe.yaml"].count(stop) == 1
    texts["blocks/make-safe.yaml"] = texts["blocks/make-safe.yaml"].replace(stop, "      - do: Look.\n")
    library = Library.from_texts(texts)
    found = audited(library, version="0", procedure="change-cartridges", unit="KW-4", today=TODAY)
    assert missed(found.audit.cases[0]) == {"shut down"}
