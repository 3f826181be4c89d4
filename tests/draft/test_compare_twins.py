"""Broken twins of the demonstration library, each compared with the clean one: no mistake goes unseen."""

from functools import cache

import pytest

from proctool.api import Library
from proctool.comparing import side_of
from proctool.draft.compare.compare import compare
from proctool.model.comparison import Safety
from proctool.model.verdict import Verdict
from tests.twins.test_twins import ROOT, TODAY, TWINS, _broken, _clean

SEEN = {"energy", "leak", "graph", "chemical"}
"""Packs whose faults change what is proven, or how the procedure runs."""
SOME = [twin for twin in TWINS if twin.expected[0].rule.partition("/")[0] in SEEN][::5]
"""A fifth of them, spread over all families."""


def side(texts, twin):
    library = Library({file: text.encode() for file, text in texts.items()}, root=ROOT)
    (case,) = library.cases(procedure=twin.procedure, unit=twin.unit, today=TODAY)
    return side_of(case, twin.name)


@cache
def clean(procedure, unit):
    twin = next(t for t in TWINS if (t.procedure, t.unit) == (procedure, unit))
    return side(_clean(), twin)


@pytest.mark.parametrize("twin", SOME, ids=lambda twin: twin.name.replace(" ", "-"))
def test_a_mistake_is_never_the_same(twin):
    was, now = clean(twin.procedure, twin.unit), side(_broken(twin), twin)
    there, back = compare(was, now), compare(now, was)
    assert was.judgement.verdict is Verdict.SAFE
    assert there.safety is not Safety.SAME
    if now.judgement.verdict is not Verdict.SAFE:
        assert there.safety is Safety.WORSE
        assert there.reasons[0] == f"verdict safe → {now.judgement.verdict.value.replace('_', ' ')}"
        assert back.reasons and back.safety is not Safety.SAME
