"""The mend of a broken rule: what to do right before it breaks, tried in that very state.

One small function for each rule gives the acts that could mend it. They are told only if the rule is kept
when they are done; where the unit has nothing that would do, it is said what is missing.
"""

from __future__ import annotations

from collections.abc import Callable

from proctool.model.story import Fix, Mend
from proctool.prove.breaks import AT_STOP, Break
from proctool.prove.mend_debts import (
    bled,
    driven,
    filled,
    leak_checked,
    needed,
    pressurised,
    restored,
    throttled,
)
from proctool.prove.mend_energy import (
    Attempts,
    closed,
    cooled,
    deepened,
    isolated,
    left_safe,
    locked,
    looked_at,
    made_zero,
    proven,
    relieved,
)
from proctool.prove.phrases import listed, named, order
from proctool.prove.remedies import NotToBeHadError


def mend(broken: Break) -> Mend | None:
    """What would mend a broken rule, or what is not to be had; None where nothing can be worked out."""
    if broken.rule not in _MENDS:
        return None
    attempts, say = _MENDS[broken.rule]
    try:
        tried = (tuple(fixes) for fixes in attempts(broken))
        fixes = next((f for f in tried if f and (say is _instead or broken.mended(f))), None)
    except NotToBeHadError as error:
        return Mend(str(error))
    return Mend(say(broken, fixes), fixes) if fixes is not None else None


def _before(broken: Break, fixes: tuple[Fix, ...]) -> str:
    """Such as: also isolate the bypass valve V7 before this step."""
    net = broken.setup.network
    text = order(net, fixes)
    if fixes[0].verb == "isolate" and broken.before.off & ~net.normally_off:
        text = f"Also {text[:1].lower()}{text[1:]}"
    when = "before this step"
    if broken.step is None:
        when = "before the job stops here" if broken.rule == AT_STOP else "before the end"
    elif broken.act is not None and not broken.mended_before_step(fixes):
        when = f"before `{broken.act.verb}: {broken.act.part}` of this step"
    return f"{text} {when}."


def _instead(broken: Break, fixes: tuple[Fix, ...]) -> str:
    return f"{order(broken.setup.network, fixes)} instead."


def _until(broken: Break, fixes: tuple[Fix, ...]) -> str:
    """For what is turned on or unlocked too early: it waits until the parts that stand open are closed."""
    net, act = broken.setup.network, broken.act
    if any(fix.verb not in {"close", "cover"} for fix in fixes):
        return _before(broken, fixes)
    closed = listed([named(net, fix.part) for fix in fixes])
    covers = all(fix.verb == "cover" for fix in fixes)
    until = (
        f"the cover of {closed} is on" if covers else f"{closed} {'is' if len(fixes) == 1 else 'are'} closed"
    )
    if act is not None and act.verb == "unlock":
        return f"Keep the lock on {named(net, act.part)} until {until}."
    if act is not None and net.isolators >> net.place[act.part] & 1:
        return f"Leave {named(net, act.part)} as it is until {until}."
    return _before(broken, fixes)


Say = Callable[[Break, tuple[Fix, ...]], str]

_MENDS: dict[str, tuple[Callable[[Break], Attempts], Say]] = {
    "energy/opened-live": (isolated, _before),
    "energy/uncovered-live": (isolated, _before),
    "energy/discharged-live": (isolated, _before),
    "energy/tried-live": (isolated, _before),
    "energy/wet-near-live": (made_zero, _before),
    "energy/opened-charged": (relieved, _before),
    "energy/verified-charged": (made_zero, _before),
    "energy/vented-hot": (cooled, _before),
    "energy/verified-blind": (looked_at, _instead),
    "energy/opened-unproven": (proven, _before),
    "energy/energised-open": (closed, _until),
    "energy/opened-unlocked": (locked, _until),
    "energy/unlocked-early": (closed, _until),
    "energy/isolation-too-thin": (deepened, _until),
    "energy/left-unlocked": (left_safe, _before),
    "energy/not-restored": (restored, _before),
    "energy/started-dead": (driven, _before),
    "graph/end-unsafe": (left_safe, _before),
    "graph/need-unmet": (needed, _before),
    "leak/bled-dry": (filled, _before),
    "leak/checked-dry": (pressurised, _before),
    "leak/filled-at-once": (throttled, _before),
    "leak/full-before-bleed": (bled, _before),
    "leak/power-before-check": (leak_checked, _before),
    "leak/unchecked": (leak_checked, _before),
    "leak/worked-under-pressure": (made_zero, _before),
}
