"""What does not change while a plan is proven: the network, who keeps what, and how it leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import reduce
from operator import or_

from proctool.model.plan import Plan
from proctool.model.unit import Energy, Part
from proctool.model.words import KEPT_BY_ALL, WETTING, Control, Depth, Form
from proctool.network.kept import network_of
from proctool.network.reach import Mask


@dataclass(frozen=True, slots=True)
class Carrier:
    """One energy on its lines, as masks over the unit's parts."""

    index: int
    """Place of the energy in the tuples of a state."""
    energy: Energy
    on_line: Mask
    holders: Mask
    """Holders that stand on a line of it."""
    kept: Mask
    """Holders that keep it when cut off."""
    leaving: Mask
    """Holders it leaves through a way out: fluids, but for those named in the holder's `keeps`."""
    rebuilding: Mask
    """Holders in which it comes back when nothing lets it out."""
    sources: Mask
    throttled: bool
    """Whether some isolator on it throttles, so that a staged refill can be asked for."""

    @property
    def id(self) -> str:
        """The energy's id."""
        return self.energy.id

    @property
    def discharged_only(self) -> Mask:
        """Holders that keep it until it is discharged."""
        return self.kept & ~self.leaving


class Setup:
    """Everything about a plan's unit that every state of it shares."""

    def __init__(self, plan: Plan) -> None:
        unit = plan.unit
        self.plan = plan
        self.network = net = network_of(unit)
        self.carriers: tuple[Carrier, ...] = tuple(
            self._carrier(i, energy) for i, energy in enumerate(unit.energies.values())
        )
        self.by_energy = {carrier.id: carrier for carrier in self.carriers}
        self.electric = tuple(c for c in self.carriers if c.energy.form is Form.ELECTRICITY)
        self.fluids = tuple(c for c in self.carriers if c.energy.fluid)
        self.of_part: tuple[tuple[Carrier, ...], ...] = tuple(
            tuple(c for c in self.carriers if c.on_line >> i & 1) for i in range(len(net.ids))
        )
        """The energies on whose lines each part stands."""
        self.near: tuple[Mask, ...] = tuple(net.mask(part.near) for part in net.parts)
        self.wetting: Mask = self._any(c.on_line for c in self.carriers if c.energy.form in WETTING)
        self.holds_fluid: Mask = self._any(c.holders for c in self.fluids)
        self.runs = tuple((i, part.runs) for i, part in enumerate(net.parts) if part.runs)
        self.sealed = self._where(lambda part: part.seal is not None)
        self.tightened = self._where(lambda part: part.tighten is not None)
        self.traps_air = self._where(lambda part: part.traps_air)
        self.covered = self._where(lambda part: part.covered)
        self.excused: Mask = (
            net.isolators
            if unit.control is Control.EXCLUSIVE
            else self._where(lambda part: part.exclusive_control) & net.isolators
        )
        """Isolators that need no lock: under the exclusive control of who does the work."""
        self.deep = tuple(c for c in self.carriers if c.energy.depth is not Depth.SINGLE)
        self.conditions: dict[str, int] = {name: i for i, name in enumerate(plan.conditions)}

    def _where(self, asked: Callable[[Part], bool]) -> Mask:
        return self.network.mask(part.id for part in self.network.parts if asked(part))

    @staticmethod
    def _any(masks: Iterable[Mask]) -> Mask:
        return reduce(or_, masks, 0)

    def _carrier(self, index: int, energy: Energy) -> Carrier:
        net = self.network
        on_line = net.on_line[energy.id]
        holders = on_line & net.holders
        kept = holders if energy.form in KEPT_BY_ALL else holders & net.stores
        keeping = self._where(lambda part: energy.id in part.keeps)
        leaving = holders & ~keeping if energy.fluid else 0
        return Carrier(
            index=index,
            energy=energy,
            on_line=on_line,
            holders=holders,
            kept=kept,
            leaving=leaving,
            rebuilding=self._where(lambda part: energy.id in part.rebuilds) & leaving,
            sources=net.sources[energy.id],
            throttled=bool(self._where(lambda part: part.throttles) & on_line & net.isolators),
        )

    def fluid_holders_next_to(self, place: int) -> Mask:
        """Holders next to a part on a fluid line."""
        return self._any(self.network.neighbours[c.id][place] & c.holders for c in self.fluids)
