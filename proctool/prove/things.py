"""All that a state is made of, as numbered things, within bounds of the state.

The position, the lock, the cover ... of each part, the charge, discharge and proof of each holder for each
energy, each condition: each has a bit in a set of `Things`. Only what may change within the bounds counts.

*Zones.* What is always live and always passes divides an energy's network. What is not live is never joined
to anything through such a part, and what a source could reach through it is reached from it all the same.
So charges and isolation of a part hang only on its own zone: what is connected to it without such parts.
"Always" counts isolators at `part` as stopping, so that it holds for full pressure as well.
"""

from __future__ import annotations

from collections.abc import Iterable

from proctool.network.reach import Mask, bits
from proctool.prove.bounds import Bounds
from proctool.prove.setup import Carrier, Setup

Things = int
"""A set of what a state is made of."""

POSITION, LOCKED, VENTED, OPENED, UNCOVERED, RUNNING, LOOSE, UNINSPECTED, OWED, AIR = range(10)
_FIXED = 10
CHARGE, DISCHARGED, PROVEN = range(3)


class View:
    """What may change within some bounds, and on what each answer of the proof hangs."""

    def __init__(self, setup: Setup, within: Bounds) -> None:
        self.setup, self.within = setup, within
        self.size = len(setup.network.ids)
        self.zones = tuple(self._zones(c) for c in setup.carriers)
        self.varies = self._varies()

    # -- numbering

    def at(self, block: int, mask: Mask) -> Things:
        """One property of some parts."""
        return mask << block * self.size

    def of(self, carrier: Carrier, block: int, mask: Mask) -> Things:
        """One property of some holders, for one energy."""
        return mask << (_FIXED + 3 * carrier.index + block) * self.size

    def condition(self, place: int) -> Things:
        """One condition."""
        return 1 << (_FIXED + 3 * len(self.setup.carriers)) * self.size + place

    def _varies(self) -> Things:
        low, high = self.within.low, self.within.high
        found = self.at(POSITION, low.off ^ high.off | low.throttled ^ high.throttled)
        for block, field in (
            (LOCKED, "locked"),
            (VENTED, "vented"),
            (OPENED, "opened"),
            (UNCOVERED, "uncovered"),
            (RUNNING, "running"),
            (LOOSE, "loose"),
            (UNINSPECTED, "uninspected"),
            (OWED, "owed"),
            (AIR, "air"),
        ):
            found |= self.at(block, getattr(low, field) ^ getattr(high, field))
        for c in self.setup.carriers:
            i = c.index
            found |= self.of(c, CHARGE, self.charge_varies(c))
            found |= self.of(c, DISCHARGED, low.discharged[i] ^ high.discharged[i])
            found |= self.of(c, PROVEN, low.proven[i] ^ high.proven[i])
        for place in self.within.conditions:
            found |= self.condition(place)
        return found

    def charge_varies(self, c: Carrier) -> Mask:
        """Holders whose charge may change."""
        low, high, i = self.within.low, self.within.high, c.index
        return low.live[i] ^ high.live[i] | low.trapped[i] ^ high.trapped[i]

    def charges_written(self, writes: Things) -> tuple[Mask, ...]:
        """For each energy the holders whose charge is among what is written."""
        every = (1 << self.size) - 1
        return tuple(
            writes >> (_FIXED + 3 * c.index + CHARGE) * self.size & every for c in self.setup.carriers
        )

    # -- zones

    def _zones(self, c: Carrier) -> tuple[Mask, ...]:
        net, high = self.setup.network, self.within.high
        stops = high.off | high.throttled
        always = net.danger(c.id, c.sources, stops) if c.sources else 0
        rest = c.on_line & ~(always & ~(stops | net.vents | net.gauges))
        zones = []
        while rest:
            zone = front = rest & -rest
            while front:
                seen = 0
                for i in bits(front):
                    seen |= net.neighbours[c.id][i]
                front = seen & rest & ~zone
                zone |= front
            zones.append(zone)
            rest &= ~zone
        return tuple(zones)

    def zone(self, c: Carrier, place: int) -> Mask:
        """The zone of a part; none for what is always live and always passes."""
        return next((zone for zone in self.zones[c.index] if zone >> place & 1), 0)

    def switches(self, zone: Mask) -> Things:
        """What charges in a zone follow from, besides the charges before."""
        return self.at(POSITION, zone) | self.at(VENTED, zone) | self.at(OPENED, zone)

    # -- questions

    def charge_of(self, c: Carrier, place: int) -> Things:
        """On what the charge of a part hangs (`charge.charge`)."""
        bit = 1 << place
        if bit & c.holders:
            return self.of(c, CHARGE, bit)
        zone = self.zone(c, place)
        return self.at(POSITION, zone) | self.of(c, CHARGE, zone)

    def charges_of(self, carriers: Iterable[Carrier], place: int) -> Things:
        """The same for several energies."""
        found = 0
        for c in carriers:
            found |= self.charge_of(c, place)
        return found

    def proof_of(self, c: Carrier, place: int) -> Things:
        """On what it hangs whether zero is proven at a part (`charge.proven`)."""
        bit = 1 << place
        if bit & c.holders:
            return self.of(c, PROVEN, bit)
        return self.of(c, PROVEN, self.setup.network.neighbours[c.id][place] & c.holders)

    def security_of(self, c: Carrier, place: int) -> Things:
        """On what it hangs whether a part is secured (`after.secured`)."""
        zone = self.zone(c, place)
        return self.at(POSITION, zone) | self.at(LOCKED, zone) | self.of(c, CHARGE, zone)

    def exposed(self, place: int) -> Things:
        """Whether a part stands opened or uncovered."""
        return self.at(OPENED, 1 << place) | self.at(UNCOVERED, 1 << place)
