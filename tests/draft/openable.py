"""Brute force: can a part be opened at all, with any set of isolators off and every vent open?

Written from the definitions, with the naive reaches of the oracle of the network; shares no code with drafts.
"""

from __future__ import annotations

from proctool.model.unit import Unit
from tests.network.brute import FLUID_FORMS, Brute, subsets


class Openable:
    """One unit, every position of its isolators gone through."""

    def __init__(self, unit: Unit) -> None:
        self.unit, self.brute = unit, Brute(unit)

    def at_all(self, part: str) -> bool:
        """Whether there is a set of isolators with which the part could be opened."""
        fixed = self.brute.normally_off
        joints = {part} if self._holder(part) else self._joints(part)
        for e in (e for e, x in self.unit.energies.items() if x.form in FLUID_FORMS):
            if any(self._fed(e, n, set()) and not self._fed(e, n, fixed) for n in joints):
                return False  # its joint never comes under that pressure in normal service
        return any(
            self.with_off(part, chosen | fixed) for chosen in subsets(self.brute.isolators - fixed - {part})
        )

    def with_off(self, part: str, off: set[str]) -> bool:
        """Whether it could be with these off and locked, every vent open, all discharged that is not fed."""
        brute = self.brute
        firm = {n for n in off if self.unit.parts[n].lock != "none"}
        if off - firm - brute.normally_off:
            return False  # what is turned off is locked
        for e in (e for e in self.unit.energies if part in brute.on(e)):
            if self._fed(e, part, off) or self._fed(e, part, firm):
                return False
            if self.unit.energies[e].depth != "single" and any(self._fed(e, part, off - {i}) for i in off):
                return False
            if not self._at_zero(e, part, off):
                return False
        if not self._holder(part) and any(
            self._fed(e, n, off) for n in self._joints(part) for e in self.unit.energies
        ):
            return False  # a joint that leaks when it is looked at must be shut off
        wets = {e for e, x in self.unit.energies.items() if x.form in {"liquid_pressure", "steam"}}
        electric = {e for e, x in self.unit.energies.items() if x.form == "electricity"}
        if any(part in brute.on(e) for e in wets):
            return not any(self._fed(e, n, off) for n in self.unit.parts[part].near for e in electric)
        return True

    def deep_at_all(self, part: str) -> bool:
        """As `at_all`, and as deep as every energy of the part asks against what is still charged then too.

        What vents open in normal service let out before anything is turned off is not thought of.
        """
        fixed = self.brute.normally_off
        every = (chosen | fixed for chosen in subsets(self.brute.isolators - fixed - {part}))
        energies = [
            e for e, x in self.unit.energies.items() if x.depth != "single" and part in self.brute.on(e)
        ]
        return self.at_all(part) and any(
            self.with_off(part, off) and all(self._deep(e, part, off) for e in energies) for off in every
        )

    def _deep(self, energy: str, part: str, off: set[str]) -> bool:
        """Whether no single isolator that leaks lets it in; with a bleed, a vent is wherever it leaks to."""
        brute, origins = self.brute, self._origins(energy, part, off)
        bleed = self.unit.energies[energy].depth == "double_block_and_bleed"
        now = set(brute.reach(energy, origins, off)) if origins else set()
        for leaking in (off & brute.on(energy)) if origins else ():
            if bleed and part not in brute.reach(energy, {leaking}, set(), barred=[*(now - {leaking})]):
                continue
            then = set(brute.reach(energy, origins, off - {leaking}))
            if part in then:
                return False
            if bleed and then - now and not any(self._is(n, "vent") for n in then - now):
                return False
        return True

    def _origins(self, energy: str, part: str, off: set[str]) -> set[str]:
        """The sources, and what is still charged beyond the part with every vent and the part open."""
        brute, sources = self.brute, self.brute.sources(energy)
        live = set(brute.reach(energy, sources, off)) if sources else set()
        own = set(brute.reach(energy, {part}, off))
        holders = {n for n in brute.on(energy) if self._holder(n)}
        fluid = self.unit.energies[energy].form in FLUID_FORMS

        def leaves(name: str) -> bool:
            sure = brute.reach(energy, {name}, off, sure=True)
            out = any(self._is(n, "vent") or n == part for n in sure)
            return fluid and energy not in self.unit.parts[name].keeps and out

        kept = holders if fluid or self.unit.energies[energy].form in {"heat", "chemical"} else set()
        kept = kept | {n for n in holders if self._is(n, "store")}
        held = {n for n in kept - live if not leaves(n) and not (n in own and energy in self._only_let_go(n))}
        arrived = set(brute.reach(energy, held, off)) if held else set()
        trapped = held | {n for n in arrived & holders - live if not leaves(n)}
        return sources | ((live & holders | trapped) - own)

    def _fed(self, energy: str, part: str, off: set[str]) -> bool:
        sources = self.brute.sources(energy)
        return bool(sources) and part in self.brute.reach(energy, sources, off)

    def _joints(self, part: str) -> set[str]:
        fluids = [e for e, x in self.unit.energies.items() if x.form in FLUID_FORMS]
        return {n for e in fluids for n in self.brute.next[e][part] if self._holder(n)}

    def _at_zero(self, energy: str, part: str, off: set[str]) -> bool:
        """Whether its energy can be let out, and be shown to be."""
        for n in (n for n in self.brute.reach(energy, {part}, off) if energy in self._only_let_go(n)):
            if any(self._fed(e, n, off) for e in self._only_let_go(n)):
                return False  # it is discharged of all that it keeps
        if self._holder(part):
            joined = {part} | {n for n in self.brute.reach(energy, {part}, off) if self._holder(n)}
            alone = {part} if energy not in self.unit.parts[part].keeps else joined
            return all(self._relieved(energy, n, off) for n in alone) and self._seen(energy, part, off)
        beside = {n for n in self.brute.next[energy][part] if self._holder(n)}
        joined = {n for n in self.brute.reach(energy, {part}, off) if self._holder(n)}
        return (
            bool(beside)
            and all(self._seen(energy, n, off) for n in beside)
            and all(self._relieved(energy, n, off) for n in beside | joined)
        )

    def _holder(self, name: str) -> bool:
        return self.unit.parts[name].role in {"component", "store"}

    def _only_let_go(self, name: str) -> set[str]:
        p = self.unit.parts[name]
        kept = set()
        for e, x in self.unit.energies.items():
            fluid = x.form in FLUID_FORMS
            if (
                self._holder(name)
                and name in self.brute.on(e)
                and (fluid or x.form == "heat" or p.role == "store")
            ):
                kept |= {e} if not fluid or e in p.keeps else set()
        return kept

    def _relieved(self, energy: str, holder: str, off: set[str]) -> bool:
        if self.unit.energies[energy].form not in FLUID_FORMS or energy in self.unit.parts[holder].keeps:
            return True
        return any(self._cool(n, off) for n in self.brute.reach(energy, {holder}, off, sure=True))

    def _cool(self, name: str, off: set[str]) -> bool:
        """Whether it is a vent to which no heat is fed."""
        heats = (e for e, x in self.unit.energies.items() if x.form == "heat" and name in self.brute.on(e))
        return self._is(name, "vent") and not any(self._fed(e, name, off) for e in heats)

    def _seen(self, energy: str, holder: str, off: set[str]) -> bool:
        sure = self.brute.reach(energy, {holder}, off, sure=True)
        for p in self.unit.parts.values():
            if p.role == "gauge" and p.energy == energy and (p.at == "any" or p.at in sure):
                return True
        if self.unit.energies[energy].form not in FLUID_FORMS:
            return False
        return any(self._cool(n, off) and self._clear(n, holder, off) for n in sure)

    def _clear(self, vent: str, holder: str, off: set[str]) -> bool:
        """Whether a vent shows every fluid that it shares with a holder."""
        fluids = (e for e, x in self.unit.energies.items() if x.form in FLUID_FORMS)
        shared = (e for e in fluids if vent in self.brute.on(e) and holder in self.brute.on(e))
        return all(vent in self.brute.reach(e, {holder}, off, sure=True) for e in shared)

    def _is(self, name: str, role: str) -> bool:
        return self.unit.parts[name].role == role
