"""The moment at which a run breaks a rule, and whether it still would, had something been done before."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from proctool.model.finding import Finding
from proctool.model.plan import Act, Step
from proctool.model.story import Fix
from proctool.prove.ends import at_end, at_stop
from proctool.prove.replay import Runs
from proctool.prove.report import Report
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State
from proctool.prove.step import acted, do_act, do_step, unmet

AT_STOP = "graph/end-unsafe"


@dataclass(frozen=True, slots=True)
class Break:
    """A rule broken on a part, and by what."""

    setup: Setup
    rule: str
    part: str
    energies: tuple[str, ...]
    """Those that it is broken by in this run; other runs may have others."""
    before: State
    """The unit when what breaks the rule begins: an act, a step with needs, or the end itself."""
    after: State
    reports: Callable[[State], Iterable[Report]]
    """All that is reported when the same begins with the unit in another state."""
    step: Step | None = None
    passed: bool | None = None
    act: Act | None = None
    began: State | None = None
    """The unit before the step of the act."""

    def mended(self, fixes: Iterable[Fix]) -> bool:
        """Whether the rule is kept on the part while these acts are done right before, and then."""
        return self._kept(self.before, fixes, self.reports)

    def mended_before_step(self, fixes: Iterable[Fix]) -> bool:
        """Whether it is kept, too, if they are done before the whole step."""
        step, began = self.step, self.began
        if step is None or began is None:
            return False
        return self._kept(began, fixes, lambda state: do_step(self.setup, state, step, self.passed)[1])

    def _kept(self, state: State, fixes: Iterable[Fix], then: Callable[[State], Iterable[Report]]) -> bool:
        reports: list[Report] = []
        for fix in fixes:
            done = do_act(self.setup, state, act_of(self.setup, fix), None)
            reports += done.reports
            state = done.after
        return not any((r.rule, r.part) == (self.rule, self.part) for r in (*reports, *then(state)))

    def carriers(self) -> tuple[Carrier, ...]:
        """The energies concerned."""
        return tuple(self.setup.by_energy[energy] for energy in self.energies)


def fixed(setup: Setup, state: State, fixes: Iterable[Fix]) -> State:
    """The unit after some acts of a mend."""
    for fix in fixes:
        state = do_act(setup, state, act_of(setup, fix), None).after
    return state


def act_of(setup: Setup, fix: Fix) -> Act:
    """The plain act that a fix names."""
    return Act(fix.verb, fix.part, setup.network.unit.span, by=fix.by)


def breaking(runs: Runs, finding: Finding) -> Break | None:
    """Where the trace of a finding breaks its rule; None where the proof of energies does not settle it."""
    setup, points = runs.setup, runs.along(finding.trace)
    before, last = (points[-2] if len(points) > 1 else points[-1]).state, points[-1]
    part = finding.part or ""

    def found(
        reports: Callable[[State], Iterable[Report]],
        state: State,
        after: State,
        act: Act | None = None,
    ) -> Break | None:
        broken = [r for r in reports(state) if (r.rule, r.part) == (finding.rule, part)]
        energies = tuple(dict.fromkeys(r.energy for r in broken if r.energy is not None))
        if not broken:
            return None
        step = last.step if finding.step is not None and finding.rule != AT_STOP else None
        return Break(
            setup, finding.rule, part, energies, state, after, reports, step, last.passed, act, before
        )

    if finding.step is None:
        return found(lambda state: at_end(setup, state), last.state, last.state)
    if finding.rule == AT_STOP:
        return found(lambda state: at_stop(setup, state), last.state, last.state)
    step, passed = last.step, last.passed
    if step is None:
        return None
    needs = found(lambda state: unmet(setup, state, step), before, before)
    if needs is not None:
        return needs
    for done in acted(setup, before, step, passed):

        def reports(state: State, act: Act = done.act) -> Iterable[Report]:
            return do_act(setup, state, act, passed).reports

        broken = found(reports, done.before, done.after, done.act)
        if broken is not None:
            return broken
    return None
