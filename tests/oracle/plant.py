"""The unit of a case: its energies, parts and lines, and the two ways of reaching along them.

Everything here is read from the plain mapping of a unit file.  Nothing changes after that.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

Words = str | list[str] | None

FLUIDS = {"liquid_pressure", "gas_pressure", "steam", "vacuum"}
KEPT_BY_ALL = FLUIDS | {"heat", "chemical"}
POSITIONS = {
    "valve": {"open": "on", "part_open": "part", "closed": "off"},
    "plug": {"plugged_in": "on", "unplugged": "off"},
    "breaker": {"on": "on", "off": "off"},
    "disconnector": {"on": "on", "off": "off"},
    "blind": {"removed": "on", "fitted": "off"},
}


def listed(value: Words) -> list[str]:
    """A word or a list of words, as a list."""
    if value is None:
        return []
    return [value] if isinstance(value, str) else list(value)


class Plant:
    """What the walker needs to know of a unit."""

    def __init__(self, unit: dict[str, Any]) -> None:
        self.forms: dict[str, str] = {e: d["form"] for e, d in unit["energies"].items()}
        self.depth: dict[str, str] = {e: d.get("isolation", "single") for e, d in unit["energies"].items()}
        self.brought = {e for e, d in unit["energies"].items() if d.get("brought") == "true"}
        self.parts: dict[str, dict[str, Any]] = unit["parts"]
        self.exclusive = unit.get("lockout") == "exclusive_control"
        self.next: dict[str, dict[str, set[str]]] = {e: {} for e in self.forms}
        for line in unit["lines"].values():
            for energy in listed(line["energy"]):
                self._join(energy, line["path"])
        for name in self.of_role("gauge"):
            at = self.parts[name].get("at", "any")
            self._join(self.parts[name]["energy"], [name] if at == "any" else [name, at])

    def _join(self, energy: str, path: list[str]) -> None:
        around = self.next[energy]
        for part in path:
            around.setdefault(part, set())
        for one, other in pairwise(path):
            around[one].add(other)
            around[other].add(one)

    # -- what a part is ------------------------------------------------------------------------------

    def role(self, part: str) -> str:
        """The role of a part."""
        return str(self.parts[part]["role"])

    def of_role(self, *roles: str) -> list[str]:
        """All parts of these roles, in the order of the file."""
        return [p for p in self.parts if self.role(p) in roles]

    def says(self, part: str, key: str) -> bool:
        """Whether a yes-or-no property of the part is there and true."""
        return self.parts[part].get(key) == "true"

    def is_holder(self, part: str) -> bool:
        """Components and stores hold energy."""
        return self.role(part) in ("component", "store")

    def energies(self, part: str) -> list[str]:
        """The energies on whose lines a part stands."""
        return [e for e in self.forms if part in self.next[e]]

    def fluids(self, part: str) -> list[str]:
        """The fluid energies of a part."""
        return [e for e in self.energies(part) if self.forms[e] in FLUIDS]

    def electricity(self, part: str) -> list[str]:
        """The electric energies of a part."""
        return [e for e in self.energies(part) if self.forms[e] == "electricity"]

    def holders(self, energy: str) -> list[str]:
        """The holders that stand on an energy's lines."""
        return [p for p in self.parts if self.is_holder(p) and p in self.next[energy]]

    def sources(self, energy: str) -> set[str]:
        """What feeds an energy: sources, and outlets that are not known to be unable to."""
        feeds = set()
        for part in self.next[energy]:
            if self.role(part) == "source":
                feeds.add(part)
            if self.role(part) == "outlet" and self.parts[part].get("feeds_back") != "false":
                feeds.add(part)
        return feeds

    def holders_beside(self, part: str, energy: str) -> list[str]:
        """The holders next to a part on an energy's lines."""
        return [p for p in self.parts if self.is_holder(p) and p in self.next[energy].get(part, set())]

    # -- how an energy stays and leaves --------------------------------------------------------------

    def keeps(self, holder: str, energy: str) -> bool:
        """Whether the holder keeps the energy once it is cut off."""
        return self.forms[energy] in KEPT_BY_ALL or self.role(holder) == "store"

    def by_exit(self, holder: str, energy: str) -> bool:
        """Whether the energy leaves this holder through an exit (else only by a discharge)."""
        return self.forms[energy] in FLUIDS and energy not in listed(self.parts[holder].get("keeps"))

    def rebuilds(self, holder: str, energy: str) -> bool:
        """Whether pressure comes back by itself in this holder when no exit is left."""
        return self.by_exit(holder, energy) and energy in listed(self.parts[holder].get("rebuilds"))

    # -- devices -------------------------------------------------------------------------------------

    def position(self, isolator: str, word: str) -> str | None:
        """The position that a device word means, or None if it is no position of this device."""
        return POSITIONS[self.parts[isolator]["device"]].get(word)

    def normal(self, isolator: str) -> str:
        """The normal position of an isolator."""
        word = self.parts[isolator].get("normal")
        return "on" if word is None else POSITIONS[self.parts[isolator]["device"]][word]

    def excused(self, isolator: str) -> bool:
        """Whether this isolator needs no lock."""
        return self.exclusive or self.says(isolator, "exclusive_control")

    def throttled(self, energy: str) -> bool:
        """Whether any isolator on this energy can let it in slowly."""
        return any(p in self.next[energy] and self.says(p, "throttles") for p in self.of_role("isolator"))

    # -- reaching ------------------------------------------------------------------------------------

    def reach(
        self,
        energy: str,
        starts: Iterable[str],
        off: frozenset[str] | set[str],
        sure: bool = False,
        barred: frozenset[str] | set[str] = frozenset(),
    ) -> set[str]:
        """All that is arrived at from ``starts`` along the lines of ``energy``.

        Isolators in ``off``, vents and gauges are arrived at but not passed; in the sure reach neither
        are check valves and restrictions.  A start is always left.  What is ``barred`` is not entered.
        """
        around = self.next[energy]
        arrived = set(starts)
        ahead = list(arrived)
        begin = frozenset(arrived)
        while ahead:
            part = ahead.pop()
            if part not in begin and self._stops(part, off, sure):
                continue
            for other in around.get(part, ()):
                if other not in arrived and other not in barred:
                    arrived.add(other)
                    ahead.append(other)
        return arrived

    def _stops(self, part: str, off: frozenset[str] | set[str], sure: bool) -> bool:
        role = self.role(part)
        if role in ("vent", "gauge"):
            return True
        if role == "isolator":
            return part in off
        return sure and role in ("check_valve", "restriction")
