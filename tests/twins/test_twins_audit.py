"""Every broken twin that leaves a person before an energy is a gap of its own aspect in the audit."""

from __future__ import annotations

import pytest

from proctool.api import Library
from proctool.draft.coverage.coverage import coverage
from proctool.model.coverage import Aspect
from proctool.model.verdict import DEFAULT_BUDGET
from tests.twins.test_twins import ROOT, TODAY, TWINS, _broken

GAPS = {
    "energy/opened-live": Aspect.ISOLATED,
    "energy/energised-open": Aspect.ISOLATED,
    "energy/isolation-too-thin": Aspect.ISOLATED,
    "energy/uncovered-live": Aspect.ISOLATED,
    "energy/wet-near-live": Aspect.ISOLATED,
    "energy/opened-unlocked": Aspect.SECURED,
    "energy/unlocked-early": Aspect.SECURED,
    "energy/opened-charged": Aspect.RELIEVED,
    "energy/opened-unproven": Aspect.VERIFIED,
    "leak/unchecked": Aspect.LEAK_CHECKED,
    "leak/left-open": Aspect.RESTORED,
}
"""The aspect in which a mistake must show, by the rule that it is about."""
DANGEROUS = [twin for twin in TWINS if twin.expected[0].rule in GAPS]


@pytest.mark.parametrize("twin", DANGEROUS, ids=lambda twin: twin.name.replace(" ", "-"))
def test_it_is_a_gap_of_its_own_aspect(twin):
    library = Library({file: text.encode() for file, text in _broken(twin).items()}, root=ROOT)
    (case,) = library.cases(procedure=twin.procedure, unit=twin.unit, today=TODAY)
    assert case.plan is not None
    rows = coverage(case.plan, budget=DEFAULT_BUDGET).rows
    assert GAPS[twin.expected[0].rule] in {cell.aspect for row in rows for cell in row.gaps}


def test_there_are_enough_of_them():
    assert len(DANGEROUS) >= 15
    assert len({twin.expected[0].rule for twin in DANGEROUS}) >= 8
