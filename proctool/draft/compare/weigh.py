"""Whether what is proven became less, more or other, and why.

Between two readings the stricter one holds: less is whatever takes something away that kept a person safe,
even where all is still proven safe without it.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.draft.compare.aspects import GUARDING, LASTS, LIMITS
from proctool.model.comparison import Barring, Comparison, Pair, Safety
from proctool.model.plan import every_step
from proctool.model.quantity import Quantity, compare, parse
from proctool.model.verdict import Charge, Verdict

_TRUST = {Verdict.UNSAFE: 0, Verdict.UNPROVEN: 0, Verdict.SAFE_WITH_DEVIATIONS: 1, Verdict.SAFE: 2}
"""Unknown is never safe, so not proven and unsafe weigh alike."""
_CHARGED = {Charge.ZERO: 0, Charge.TRAPPED: 1, Charge.LIVE: 2}


def weigh(found: Comparison) -> tuple[Safety, tuple[str, ...]]:
    """How safety changed, and each reason as a clause, the gravest first."""
    worse, better, other = tuple(_worse(found)), tuple(_better(found)), tuple(_other(found))
    reasons = (*worse, *better, *other)
    if worse:
        return Safety.WORSE, reasons
    if better:
        return Safety.BETTER, reasons
    return (Safety.DIFFERENT if other else Safety.SAME), reasons


def _worse(found: Comparison) -> Iterator[str]:
    was, now = found.old.judgement.verdict, found.new.judgement.verdict
    if _TRUST[now] < _TRUST[was]:
        yield _verdicts(found)
    broken = [b for b in found.broken if b.proof]
    if broken:
        yield f"{_many(len(broken), 'rule')} of the proof newly broken"
    if found.critical:
        yield f"{_many(len(found.critical), 'step')} newly critical"
    thinner = [pair for pair in found.barrings if _thinner(*pair)]
    if thinner:
        yield f"less keeps {_many(len(thinner), 'energy', 'energies')} from what is opened"
    shorter = sum(_shorter(p) for p in found.pairs)
    if shorter:
        yield f"{_many(shorter, 'wait')} shorter or gone"
    unsigned = sum(_gone(p, "signature") for p in found.pairs)
    if unsigned:
        yield f"{_many(unsigned, 'signature')} gone"
    unwarned = sum(_gone(p, "warnings") for p in found.pairs)
    if unwarned:
        yield f"warnings gone at {_many(unwarned, 'step')}"


def _better(found: Comparison) -> Iterator[str]:
    was, now = found.old.judgement.verdict, found.new.judgement.verdict
    if _TRUST[now] > _TRUST[was]:
        yield _verdicts(found)
    mended = [b for b in found.mended if b.proof]
    if mended:
        yield f"{_many(len(mended), 'rule')} of the proof mended"
    if found.no_longer_critical:
        yield f"{_many(len(found.no_longer_critical), 'step')} no longer critical"


def _other(found: Comparison) -> Iterator[str]:
    old, new = found.old.judgement, found.new.judgement
    if _TRUST[old.verdict] == _TRUST[new.verdict] and old.verdict is not new.verdict:
        yield _verdicts(found)
    if old.orders != new.orders and found.old.plan and found.new.plan:
        yield f"orders allowed {_count(old.orders)} → {_count(new.orders)}"
    if found.order:
        yield f"{_many(len(found.order), 'wait')} of one step for another changed"
    more = [pair for pair in found.barrings if not _thinner(*pair)]
    if more:
        yield f"isolation differs for {_many(len(more), 'energy', 'energies')} of opened parts"
    if found.stretches:
        parts = len({part for stretch in found.stretches for part in stretch.parts})
        yield f"what {_many(parts, 'part')} {'holds' if parts == 1 else 'hold'} differs after some steps"
    limits = sum(_has(p, LIMITS) for p in found.pairs)
    if limits:
        yield f"{_many(limits, 'limit')} changed"
    longer = sum(_has(p, LASTS) and not _shorter(p) for p in found.pairs)
    if longer:
        yield f"{_many(longer, 'wait')} longer or new"
    guarding = sum(any(d.name in GUARDING - {LASTS, LIMITS} for d in p.differences) for p in found.pairs)
    if guarding:
        yield f"{_many(guarding, 'step')} with other acts, needs, warnings or endings"
    for alone, word in ((_alone(found, "was"), "gone"), (_alone(found, "now"), "new")):
        if alone:
            yield f"{_many(alone, 'step')} with acts {word}"
    if found.tables:
        yield f"{_many(len(found.tables), 'row')} of tables changed"
    others = [b for b in found.broken if not b.proof]
    if others:
        yield f"{_many(len(others), 'other finding')} new"


def _thinner(was: Barring | None, now: Barring | None) -> bool:
    """Whether something that kept an energy away is gone from a part that is opened on both sides."""
    if was is None or now is None:
        return False
    if _CHARGED[now.charge] > _CHARGED[was.charge]:
        return True
    sets = ((was.isolators, now.isolators), (was.locked, now.locked), (was.vents, now.vents))
    return any(set(b) < set(a) for a, b in (*sets, (was.verified_by, now.verified_by)))


def _shorter(pair: Pair) -> bool:
    """Whether a wait became shorter; one that cannot be compared counts as shorter, unless it is new."""
    for difference in pair.differences:
        if difference.name == LASTS and difference.was:
            was, now = parse(difference.was), parse(difference.now)
            order = compare(now, was) if isinstance(was, Quantity) and isinstance(now, Quantity) else None
            return order is None or order < 0
    return False


def _gone(pair: Pair, name: str) -> bool:
    return any(d.name == name and d.was and not d.now for d in pair.differences)


def _has(pair: Pair, name: str) -> bool:
    return any(d.name == name for d in pair.differences)


def _alone(found: Comparison, side: str) -> int:
    """How many steps with acts or needs stand on one side alone; those that say the same count once."""
    plan = found.old.plan if side == "was" else found.new.plan
    steps = every_step(plan.frame) if plan is not None else ()
    other = "now" if side == "was" else "was"
    alone = (steps[getattr(p, side)] for p in found.pairs if getattr(p, other) is None)
    return len({(step.text, step.kind) for step in alone if step.acts or step.needs})


def _verdicts(found: Comparison) -> str:
    was, now = (side.judgement.verdict.value.replace("_", " ") for side in (found.old, found.new))
    return f"verdict {was} → {now}"


def _count(orders: int | None) -> str:
    return f"{orders:,}" if orders is not None else "not counted"


def _many(number: int, one: str, several: str = "") -> str:
    return f"{number} {one}" if number == 1 else f"{number} {several or one + 's'}"
