"""Between which bounds a state stays while some acts are done, in any order and any number of times.

For every set of a state two sets are worked out: what is always in it, and what may be in it. Positions move
only where an act moves them. Charges follow from them, and each of the two reaches can only grow when fewer
isolators are off or more ways out are open, so that bounds of the positions give bounds of the charges. They
are widened until one more act changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from proctool.model.plan import Act, Step
from proctool.model.words import Position
from proctool.network.reach import Mask
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State, masks, opened, positioned

SETS: dict[str, str] = {
    "lock": "locked",
    "vent": "vented",
    "uncover": "uncovered",
    "start": "running",
    "loosen": "loose",
}
"""The set of a state that an act puts its part into."""

CLEARS: dict[str, str] = {
    "unlock": "locked",
    "shut": "vented",
    "close": "opened",
    "cover": "uncovered",
    "inspect_seal": "uninspected",
    "new_seal": "uninspected",
    "leak_check": "owed",
    "bleed": "air",
    "stop": "running",
    "tighten": "loose",
}
"""The set of a state that an act takes its part out of."""

MOVES = {"isolate": Position.OFF, "throttle": Position.PART, "connect": Position.ON, "restore": None}
"""Where an act moves an isolator; None for its normal position."""

POSITIONS = (
    "off",
    "throttled",
    "locked",
    "vented",
    "opened",
    "uncovered",
    "running",
    "loose",
    "uninspected",
    "owed",
    "air",
)
"""The sets of a state that acts change and nothing follows for."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """A state that all states in question contain, and one that contains them all."""

    low: State
    high: State
    out: tuple[Mask, ...]
    """For each energy the holders that may, and may not, have a way out for it."""
    arrived: tuple[Mask, ...]
    """For each energy the parts that what is held elsewhere may, and may not, arrive at."""
    conditions: frozenset[int]
    """Conditions that may change."""

    def hold(self, state: State) -> bool:
        """Whether a state lies within."""
        triples = zip(masks(self.low), masks(state), masks(self.high), strict=True)
        if any(low & ~here or here & ~high for low, here, high in triples):
            return False
        values = zip(self.low.conditions, state.conditions, strict=True)
        return all(a == b or i in self.conditions for i, (a, b) in enumerate(values))


def bounds(setup: Setup, state: State, steps: Iterable[Step]) -> Bounds:
    """The bounds of all that can come of a state by the acts of some steps, checks of them failing or not."""
    steps = tuple(steps)
    acts = tuple({(act.verb, act.part, act.by, act.energy): act for s in steps for act in s.acts}.values())
    low, high = _positions(setup, state, acts)
    conditions = frozenset(setup.conditions[name] for step in steps for name, _ in step.makes)
    out, arrived = [], []
    for carrier in setup.carriers:
        found = _Charges(setup, carrier, low, high, acts)
        low, high = found.widened()
        out.append(found.out_high & ~found.out_low)
        arrived.append(found.arrived_high & ~found.arrived_low)
    return Bounds(low, high, tuple(out), tuple(arrived), conditions)


def _positions(setup: Setup, state: State, acts: Iterable[Act]) -> tuple[State, State]:
    """Bounds of everything but the charges; these are as in the state given."""
    sets = dict.fromkeys(POSITIONS, 0)
    clears = dict.fromkeys(POSITIONS, 0)
    nothing = state._replace(**_all_zero())
    for act in acts:
        place = setup.network.place[act.part] if act.part else 0
        bit = 1 << place
        if act.verb in MOVES:
            moved = positioned(nothing, bit, MOVES[act.verb] or setup.network.parts[place].normal)
            for name, now in (("off", moved.off), ("throttled", moved.throttled)):
                sets[name] |= now
                clears[name] |= bit & ~now
        elif act.verb == "open":
            for name, now in _positions_of(opened(setup, nothing, place)):
                sets[name] |= now
        if act.verb in SETS:
            sets[SETS[act.verb]] |= bit
        if act.verb in CLEARS:
            clears[CLEARS[act.verb]] |= bit
    lows: dict[str, Any] = {name: mask & ~clears[name] for name, mask in _positions_of(state)}
    highs: dict[str, Any] = {name: mask | sets[name] for name, mask in _positions_of(state)}
    return state._replace(**lows), state._replace(**highs)


def _all_zero() -> dict[str, Any]:
    return dict.fromkeys(POSITIONS, 0)


def _positions_of(state: State) -> Iterable[tuple[str, Mask]]:
    return ((name, getattr(state, name)) for name in POSITIONS)


class _Charges:
    """Bounds of one energy's charges, discharges and proofs, given those of the positions."""

    def __init__(
        self, setup: Setup, carrier: Carrier, low: State, high: State, acts: tuple[Act, ...]
    ) -> None:
        net, i = setup.network, carrier.index
        self.setup, self.carrier, self.low, self.high = setup, carrier, low, high
        self.live_high = self._reach(carrier.sources, low.off) & carrier.holders
        self.live_low = self._reach(carrier.sources, high.off) & carrier.holders
        self.out_high = self._out(low.off, high)
        self.out_low = self._out(high.off, low)
        self.trapped_low, self.trapped_high = low.trapped[i], high.trapped[i]
        self.discharged_low, self.discharged_high = low.discharged[i], high.discharged[i]
        self.proven_low, self.proven_high = low.proven[i], high.proven[i]
        self.charged_low = low.live[i] | low.trapped[i]
        self.charged_high = high.live[i] | high.trapped[i] | self.live_high
        self.arrived_low = self.arrived_high = 0
        self.dosed = self.let_go = self.verified = 0
        for act in acts:
            bit = 1 << net.place[act.part] if act.part else 0
            if act.verb == "dose" and act.energy == carrier.id:
                self.dosed |= self._reach(bit, low.off) & carrier.holders & ~self.live_low
            elif act.verb in {"discharge", "flush"}:
                self.let_go |= self._reach(bit, low.off) & carrier.discharged_only
            elif act.verb == "verify_zero":
                self.verified |= bit & carrier.holders

    def widened(self) -> tuple[State, State]:
        """Both states with the bounds of this energy."""
        before = None
        while before != (before := self._all()):
            self._act()
            self._settle()
        i, low, high = self.carrier.index, self.low, self.high
        return (
            low._replace(
                live=_with(low.live, i, low.live[i] & self.live_low),
                trapped=_with(low.trapped, i, self.trapped_low),
                discharged=_with(low.discharged, i, self.discharged_low),
                proven=_with(low.proven, i, self.proven_low),
            ),
            high._replace(
                live=_with(high.live, i, high.live[i] | self.live_high),
                trapped=_with(high.trapped, i, self.trapped_high),
                discharged=_with(high.discharged, i, self.discharged_high),
                proven=_with(high.proven, i, self.proven_high),
            ),
        )

    def _all(self) -> tuple[Mask, ...]:
        return (
            self.trapped_low,
            self.trapped_high,
            self.discharged_low,
            self.discharged_high,
            self.proven_low,
            self.proven_high,
            self.charged_low,
            self.charged_high,
        )

    def _act(self) -> None:
        """What acts do to charges themselves."""
        self.charged_high |= self.dosed
        self.discharged_low &= ~self.dosed
        self.discharged_high |= self.let_go

    def _settle(self) -> None:
        """As `charge.settle`, on bounds."""
        c = self.carrier
        gone_low = self.discharged_low & ~self.live_high
        gone_high = self.discharged_high & ~self.live_low
        held_low = c.kept & ~self.live_high & ~self.out_high & ~gone_high & (self.charged_low | c.rebuilding)
        held_high = c.kept & ~self.live_low & ~self.out_low & ~gone_low & (self.charged_high | c.rebuilding)
        self.arrived_low = self._reach(held_low, self.high.off)
        self.arrived_high = self._reach(held_high, self.low.off, barred=self._fed())
        self.trapped_low &= held_low | (self.arrived_low & c.holders & ~self.live_high & ~self.out_high)
        self.trapped_high |= held_high | (self.arrived_high & c.holders & ~self.live_low & ~self.out_low)
        self.charged_low &= self.live_low | self.trapped_low
        self.charged_high |= self.trapped_high
        self.discharged_low &= gone_low & ~self.arrived_high
        zero = ~self.live_high & ~self.trapped_high & ~(c.leaving & ~self.out_low)
        self.proven_low &= zero
        may_be_zero = ~self.live_low & ~self.trapped_low & ~(c.leaving & ~self.out_high)
        self.proven_high |= self.verified & may_be_zero

    def _fed(self) -> Mask:
        """What is always live and always passes: what is held and not live is never next to it."""
        net, off = self.setup.network, self.high.off
        return self._reach(self.carrier.sources, off) & ~(off | net.vents | net.gauges)

    def _reach(self, start: Mask, off: Mask, barred: Mask = 0) -> Mask:
        return self.setup.network.within(self.carrier.id, start, off, barred) if start else 0

    def _out(self, off: Mask, state: State) -> Mask:
        exits = (state.vented | state.opened) & self.carrier.on_line
        if not exits:
            return 0
        return self.setup.network.sure(self.carrier.id, exits, off) & self.carrier.leaving


def _with(masks: tuple[Mask, ...], place: int, mask: Mask) -> tuple[Mask, ...]:
    return (*masks[:place], mask, *masks[place + 1 :])
