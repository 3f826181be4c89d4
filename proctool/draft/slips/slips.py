"""The slips at each step of a procedure's main list, and which steps are critical.

Each step is left out, done at each earlier place of its list, and done twice; each is a plan of its own and
is proven. A step is *critical* where a slip at it leads to a breach of a rule that guards people (a `never`
rule) in some run on which nothing shows it before: no unmet need, no check that cannot pass (`shown` says
exactly what counts). The notion of a critical step, one at which a slip does harm at once that cannot be
taken back: DOE-HDBK-1028, Human Performance Improvement Handbook (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from proctool.draft.slips.changes import again, early, original, skipped, twice
from proctool.draft.slips.runs import Key, real_runs, really_happens
from proctool.model.finding import Move
from proctool.model.plan import Frame, Plan
from proctool.model.slips import Outcome, Slip, SlipKind, StepSlips
from proctool.model.verdict import Breach, Proof
from proctool.network.reach import bits
from proctool.prove import Effects, prove_breaches


def slips(plan: Plan, proof: Proof, never: frozenset[str], *, budget: int) -> Iterator[StepSlips]:
    """Every slip at each step of the main list, step by step; see `slips_at`."""
    effects = Effects(plan)
    for place in range(len(plan.frame.steps)):
        yield slips_at(plan, place, proof, never, budget=budget, effects=effects)


def slips_at(
    plan: Plan,
    place: int,
    proof: Proof,
    never: frozenset[str],
    *,
    budget: int,
    effects: Effects | None = None,
) -> StepSlips:
    """Every slip at the step at `place` of the main list: skipped, early from the first place on, twice.

    `proof` is that of the plan as it stands: what is broken there already is no news. `never` names the rules
    that guard people. `budget` holds for each slip by itself.
    Cost: a proof for each step that comes before, and a second walk where what is broken may be shown.
    """
    known = frozenset((b.rule, b.step, b.part) for b in proof.breaches)
    judge = _Judge(known, never, budget, effects or Effects(plan))
    step = plan.frame.steps[place]
    changed = ((slip, replace(plan, frame=frame)) for slip, frame in _slipped(plan.frame, place))
    return StepSlips(step.id, tuple(judge.of(slip, step.id, other) for slip, other in changed))


def _slipped(frame: Frame, place: int) -> Iterator[tuple[Slip, Frame]]:
    """Every slip at one step, with the changed list."""
    yield Slip(SlipKind.SKIPPED, None, Outcome.HARMLESS), skipped(frame, place)
    for other in bits(frame.before[place]):
        yield Slip(SlipKind.EARLY, frame.steps[other].id, Outcome.HARMLESS), early(frame, place, other)
    yield Slip(SlipKind.TWICE, None, Outcome.HARMLESS), twice(frame, place)


class _Judge:
    """Proves changed plans and says what came of each slip."""

    def __init__(self, known: frozenset[Key], never: frozenset[str], budget: int, effects: Effects) -> None:
        self.known, self.never, self.budget, self.effects = known, never, budget, effects

    def of(self, slip: Slip, step: str, changed: Plan) -> Slip:
        """The slip at `step` with its outcome."""
        breaches, explored = prove_breaches(changed, self.effects, budget=self.budget)
        known = self._known(step)
        news = [b for b in breaches if (b.rule, b.step, b.part) not in known]
        news.sort(key=lambda b: (b.rule not in self.never, len(b.trace)))
        if not news and explored:
            return slip
        slip = self._first(slip, changed, news, known) or self._walked(slip, changed, news, known)
        if not explored and slip.outcome is not Outcome.CRITICAL:
            slip = replace(slip, outcome=Outcome.UNKNOWN)
        return _as_written(slip, step)

    def _first(self, slip: Slip, changed: Plan, news: list[Breach], known: frozenset[Key]) -> Slip | None:
        """Settled by the gravest breaches that the proof found, where a trace of them can really happen."""
        gravest = [b for b in news if (b.rule in self.never) is (news[0].rule in self.never)]
        for b in gravest:
            if really_happens(changed, b, known=known):
                outcome = Outcome.CRITICAL if b.rule in self.never else Outcome.BREAKS
                return replace(slip, outcome=outcome, rule=b.rule, part=b.part, trace=b.trace)
        return None

    def _walked(self, slip: Slip, changed: Plan, news: list[Breach], known: frozenset[Key]) -> Slip:
        """Settled by walking every run that can really happen: other runs may show nothing."""
        runs = real_runs(changed, known=known, budget=self.budget)
        if runs.breaches:
            rule, step, part = min(runs.breaches, key=lambda key: key[0] not in self.never)
            outcome = Outcome.CRITICAL if rule in self.never else Outcome.BREAKS
            slip = replace(slip, outcome=outcome, rule=rule, part=part, trace=runs.breaches[rule, step, part])
            return slip if runs.explored or rule in self.never else replace(slip, outcome=Outcome.UNKNOWN)
        if not runs.catches or not runs.explored:
            return replace(slip, outcome=Outcome.UNKNOWN)
        catch, trace = next(iter(runs.catches.items()))
        shown = {catch.report for catch in runs.catches}
        averted = [b for b in news if (b.rule, b.step, b.part) not in shown]
        slip = replace(slip, outcome=Outcome.CAUGHT, caught_by=catch)
        if not averted:
            return replace(slip, rule=catch.rule, part=catch.part, trace=trace)
        return replace(slip, rule=averted[0].rule, part=averted[0].part, trace=averted[0].trace)

    def _known(self, step: str) -> frozenset[Key]:
        """What is broken without the slip is no news in the second copy of the step either."""
        copies = {(rule, again(at, step), part) for rule, at, part in self.known if at is not None}
        return self.known | copies


def _as_written(slip: Slip, step: str) -> Slip:
    """The slip told with the steps of the plan as it stands: the second copy of a step is that step."""
    trace = tuple(Move(original(move.step, step), move.passed) for move in slip.trace)
    catch = slip.caught_by
    if catch is not None:
        catch = replace(catch, step=original(catch.step, step))
    return replace(slip, trace=trace, caught_by=catch)
