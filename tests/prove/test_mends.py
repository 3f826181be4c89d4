"""Mends against the walker of tests/oracle, which shares no code with the proof: they are true, and least.

The trace of every finding is walked there again. Where it breaks the rule, the acts of the mend are done
first: the rule must hold then, and with fewer acts of the kind it must not. Where the mend says that the unit
has nothing that would do, all that it has is tried.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from itertools import combinations
from typing import Any

import pytest

from proctool.api import Library
from proctool.model.finding import Finding
from proctool.model.story import Fix
from tests.oracle import state as st
from tests.oracle.cases import case
from tests.oracle.course import Act, Course, Plan, Recovery, Step
from tests.oracle.plant import Plant, listed
from tests.oracle.state import State
from tests.oracle.text import files
from tests.oracle.walker import Broken, at_end, at_end_here, do_act, do_step, holds

Fixes = Iterable[Fix]


class Scene:
    """The moment at which a finding breaks its rule, as the walker sees it."""

    def __init__(self, unit: dict[str, Any], procedure: dict[str, Any], finding: Finding) -> None:
        self.plant = Plant(unit)
        self.finding = finding
        steps = {step.path: step for step in every(Course(unit, procedure).main)}
        leaves = {p: listed(w) for p, w in procedure.get("leaves", {}).items()}
        state = st.first_state(self.plant, procedure)
        at_a_step = finding.step is not None and finding.rule != "graph/end-unsafe"
        for move in finding.trace[:-1] if at_a_step else finding.trace:
            state, _ = do_step(self.plant, state, steps[move.step], move.passed is False)
        self.before = state
        self.again: Callable[[State], Broken]
        if finding.step is None:
            self.again = lambda state: at_end(self.plant, state, leaves)
        elif not at_a_step:
            self.again = lambda state: at_end_here(self.plant, state)
        else:
            self._find(steps[finding.trace[-1].step], failed=finding.trace[-1].passed is False)

    def _find(self, step: Step, *, failed: bool) -> None:
        """The needs or the act of the last step that break the rule."""

        def needs(state: State) -> Broken:
            unmet = {part for part, word in step.needs if not holds(self.plant, state, part, word)}
            return {("graph/need-unmet", part) for part in unmet}

        def does(act: Act) -> Callable[[State], Broken]:
            return lambda state: do_act(self.plant, state, act, failed)[1]

        self.again = needs
        self.act: Act
        for act in step.acts:
            if self.breaks(()):
                return
            if self.again is not needs:
                self.before = do_act(self.plant, self.before, self.act, failed)[0]
            self.act, self.again = act, does(act)

    def breaks(self, fixes: Fixes) -> bool:
        """Whether the rule is broken on the part while these acts are done, or then."""
        state = self.before
        broken: Broken = set()
        for fix in fixes:
            state, more = do_act(self.plant, state, act_of(fix), False)
            broken |= more
        if self.finding.rule != "energy/verified-blind" or not fixes:
            broken |= self.again(state)  # a look at something else takes the place of the one that is blind
        return (self.finding.rule, self.finding.part) in broken

    def looks(self) -> Iterator[tuple[Fix, ...]]:
        """Zero verified at the part by each gauge and each vent, one vent opened before or none."""
        unit = self.plant
        holders = [self.finding.part, *self._beside()]
        by = [*unit.of_role("gauge"), *unit.of_role("vent")]
        for vents in ((), *((Fix("vent", vent),) for vent in unit.of_role("vent"))):
            yield from (
                (*vents, Fix("verify_zero", h, g)) for h in holders if h for g in by if unit.is_holder(h)
            )

    def _beside(self) -> set[str]:
        part = self.finding.part or ""
        if part not in self.plant.parts or self.plant.is_holder(part):
            return set()
        return {h for e in self.plant.energies(part) for h in self.plant.holders_beside(part, e)}

    def fewer(self, verb: str, count: int) -> Iterator[tuple[Fix, ...]]:
        """All choices of less than so many acts of a kind that could change something."""
        unit, state = self.plant, self.before
        able = {
            "isolate": [p for p in unit.of_role("isolator") if p not in state.off],
            "lock": [p for p in unit.of_role("isolator") if p in state.off - state.locked],
            "vent": [p for p in unit.of_role("vent") if p not in state.vented],
        }[verb]
        for size in range(min(count, len(able) + 1)):
            yield from (tuple(Fix(verb, part) for part in some) for some in combinations(able, size))


def act_of(fix: Fix) -> Act:
    return fix.verb, {"part": fix.part, "by": fix.by} if fix.verb == "verify_zero" else fix.part


def every(plan: Plan) -> Iterator[Step]:
    for step in plan.steps:
        yield step
        recovery: Recovery | None = step.recovery if step.may_fail else None
        while recovery is not None:
            yield from every(recovery.plan)
            recovery = recovery.then


@cache
def scenes(seed: int) -> tuple[Scene, ...]:
    unit, procedure = case(seed)
    (judged,) = Library.from_texts(files(unit, procedure)).cases()
    return tuple(
        Scene(unit, procedure, finding)
        for finding in judged.findings
        if finding.story is not None and finding.story.mend is not None
    )


NOTHING = {
    "No isolator of this unit": "isolate",
    "No vent of this unit": "vent",
    "As the isolators stand, no vent": "vent",
    "This unit has no": "isolate",
}
"""What a mend says where the unit has nothing, and which acts are all in vain."""

SEEDS, CHUNK = 120, 15


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_a_mend_is_true_and_no_smaller_one_is(first: int) -> None:
    for seed in range(first, first + CHUNK):
        for scene in scenes(seed):
            finding = scene.finding
            where = f"seed {seed}: {finding.rule} {finding.step} {finding.part}: {finding.help}"
            assert scene.breaks(()), where
            mend = finding.story.mend
            if mend.acts:
                assert not scene.breaks(mend.acts), where
                kinds = {fix.verb for fix in mend.acts}
                if len(kinds) == 1 and kinds <= {"isolate", "lock", "vent"}:
                    for some in scene.fewer(kinds.pop(), len(mend.acts)):
                        assert scene.breaks(some), f"{where}: less would do: {some}"
            for said, verb in NOTHING.items():
                if mend.text.startswith(said):
                    assert all(scene.breaks(some) for some in scene.fewer(verb, 99)), where
            if "no gauge and no vent can show" in mend.text and finding.rule != "graph/need-unmet":
                assert all(scene.breaks(some) for some in scene.looks()), where


def test_the_seeds_hold_mends_of_many_kinds() -> None:
    """Else their truth would say little."""
    kinds: Counter[str] = Counter()
    for seed in range(SEEDS):
        for scene in scenes(seed):
            kinds.update({fix.verb for fix in scene.finding.story.mend.acts} or {"nothing"})
    assert {"isolate", "lock", "vent", "discharge", "verify_zero", "close", "nothing"} <= set(kinds)
    assert sum(kinds.values()) > 200
