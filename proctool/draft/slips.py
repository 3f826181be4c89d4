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

from proctool.draft.changes import again, early, original, skipped, twice
from proctool.draft.runs import Key, Runs, real_runs
from proctool.model.finding import Move
from proctool.model.plan import Plan
from proctool.model.slips import Outcome, Slip, SlipKind, StepSlips
from proctool.model.verdict import Breach, Proof
from proctool.network.reach import bits
from proctool.prove import prove


def slips(plan: Plan, proof: Proof, never: frozenset[str], *, budget: int) -> Iterator[StepSlips]:
    """Every slip at each step of the main list, step by step.

    `proof` is that of the plan as it stands: what is broken there already is no news. `never` names the rules
    that guard people. `budget` holds for each slip by itself.
    Cost: a proof for each step and each step before it, and a second walk where something is broken.
    """
    known = frozenset((b.rule, b.step, b.part) for b in proof.breaches)
    judge = _Judge(known, never, budget)
    for place, step in enumerate(plan.frame.steps):
        found = [judge.of(Slip(SlipKind.SKIPPED, None, Outcome.HARMLESS), step.id, skipped(plan, place))]
        for other in bits(plan.frame.before[place]):
            slip = Slip(SlipKind.EARLY, plan.frame.steps[other].id, Outcome.HARMLESS)
            found.append(judge.of(slip, step.id, early(plan, place, other)))
        found.append(judge.of(Slip(SlipKind.TWICE, None, Outcome.HARMLESS), step.id, twice(plan, place)))
        yield StepSlips(step.id, tuple(found))


class _Judge:
    """Proves changed plans and says what came of each slip."""

    def __init__(self, known: frozenset[Key], never: frozenset[str], budget: int) -> None:
        self.known, self.never, self.budget = known, never, budget

    def of(self, slip: Slip, step: str, changed: Plan) -> Slip:
        """The slip at `step` with its outcome."""
        proof = prove(changed, budget=self.budget)
        known = self._known(step)
        news = [b for b in proof.breaches if (b.rule, b.step, b.part) not in known]
        if not news and proof.explored:
            return slip
        runs = real_runs(changed, known=known, budget=self.budget)
        slip = self._judged(slip, runs, news)
        if slip.outcome not in {Outcome.CRITICAL, Outcome.UNKNOWN} and not (proof.explored and runs.explored):
            slip = replace(slip, outcome=Outcome.UNKNOWN)
        return _as_written(slip, step)

    def _known(self, step: str) -> frozenset[Key]:
        """What is broken without the slip is no news in the second copy of the step either."""
        copies = {(rule, again(at, step), part) for rule, at, part in self.known if at is not None}
        return self.known | copies

    def _judged(self, slip: Slip, runs: Runs, news: list[Breach]) -> Slip:
        graves = [key for key in runs.breaches if key[0] in self.never]
        if graves or runs.breaches:
            outcome = Outcome.CRITICAL if graves else Outcome.BREAKS
            key = graves[0] if graves else next(iter(runs.breaches))
            return replace(slip, outcome=outcome, rule=key[0], part=key[2], trace=runs.breaches[key])
        if not runs.catches:
            return replace(slip, outcome=Outcome.UNKNOWN)
        catch, trace = next(iter(runs.catches.items()))
        shown = {(catch.rule, catch.step, catch.part) for catch in runs.catches}
        averted = [b for b in news if (b.rule, b.step, b.part) not in shown]
        if not averted:
            return replace(
                slip, outcome=Outcome.CAUGHT, rule=catch.rule, part=catch.part, trace=trace, caught_by=catch
            )
        worst = min(averted, key=lambda b: (b.rule not in self.never, len(b.trace)))
        return replace(
            slip,
            outcome=Outcome.CAUGHT,
            rule=worst.rule,
            part=worst.part,
            trace=worst.trace,
            caught_by=catch,
        )


def _as_written(slip: Slip, step: str) -> Slip:
    """The slip told with the steps of the plan as it stands: the second copy of a step is that step."""
    trace = tuple(Move(original(move.step, step), move.passed) for move in slip.trace)
    catch = slip.caught_by
    if catch is not None:
        catch = replace(catch, step=original(catch.step, step))
    return replace(slip, trace=trace, caught_by=catch)
