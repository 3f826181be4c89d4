"""Small random units: one or two fluids, often electricity, sometimes something rarer."""

from __future__ import annotations

from random import Random
from typing import Any

from .plant import Plant

Mapping = dict[str, Any]

NORMAL_OF = {
    "liquid_pressure": ("4 bar", "0 bar"),
    "gas_pressure": ("6 bar", "0 bar"),
    "steam": ("3 bar", "0 bar"),
    "vacuum": ("-0.5 bar", "0 bar"),
    "electricity": ("230 V", "0 V"),
    "heat": ("90 °C", "40 °C"),
}
POSITION_OFF = {
    "valve": "closed",
    "plug": "unplugged",
    "breaker": "off",
    "disconnector": "off",
    "blind": "fitted",
}
FLUID_CHOICE = ["liquid_pressure"] * 4 + ["gas_pressure", "steam", "vacuum"]


class UnitMaker:
    """Builds one unit step by step with the numbers of one seed."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.energies: Mapping = {}
        self.parts: Mapping = {}
        self.lines: Mapping = {}
        self.extra: Mapping = {}

    def chance(self, share: float) -> bool:
        """True in this share of the cases."""
        return self.rng.random() < share

    def unit(self) -> Mapping:
        """The unit file as it stands."""
        return {
            "unit": "U",
            "title": "Case unit",
            **self.extra,
            "energies": self.energies,
            "parts": self.parts,
            "lines": self.lines,
        }

    # -- pieces --------------------------------------------------------------------------------------

    def energy(self, name: str, form: str, **more: str) -> str:
        """A new energy."""
        normal, safe = NORMAL_OF.get(form, ("present", "none"))
        self.energies[name] = {"form": form, "normal": normal, "safe": safe, **more}
        return name

    def part(self, stem: str, role: str, **more: Any) -> str:
        """A new part, named by its stem and a number."""
        number = 1 + sum(1 for p in self.parts if p.rstrip("0123456789") == stem)
        name = f"{stem}{number}"
        self.parts[name] = {"role": role, **more}
        return name

    def line(self, energy: Any, path: list[str]) -> None:
        """A new line."""
        self.lines[f"line{len(self.lines) + 1}"] = {"energy": energy, "path": path}

    def isolator(self, device: str, throttles: float = 0.0) -> str:
        """A new isolator; valves may throttle."""
        name = self.part(
            {"valve": "valve", "plug": "plug", "blind": "blind"}.get(device, "switch"),
            "isolator",
            device=device,
        )
        if device == "valve" and self.chance(throttles):
            self.parts[name]["throttles"] = "true"
        if self.chance(0.12):
            self.parts[name]["exclusive_control"] = "true"
        return name

    def vent(self, energy: Any, beside: str, **more: str) -> str:
        """A vent on a line of its own beside a part."""
        name = self.part("vent", "vent", **more)
        self.line(energy, [beside, name])
        return name

    def gauge(self, energy: str, at: str) -> str:
        """A gauge, or a tester with ``at`` any."""
        name = self.part("gauge" if at != "any" else "tester", "gauge", at=at, energy=energy)
        if self.chance(0.2):
            self.parts[name]["usual"] = (
                "1 to 3 bar" if self.energies[energy]["normal"].endswith("bar") else "present"
            )
        return name

    def holder(self, role: str = "component") -> str:
        """A component or store with some of what matters when it is opened."""
        name = self.part("tank" if role == "store" else "body", role)
        said = self.parts[name]
        if self.chance(0.4):
            said["seal"] = "O-ring"
        if self.chance(0.35):
            said["tighten"] = "22 N·m"
        if self.chance(0.35):
            said["traps_air"] = "true"
        if self.chance(0.4):
            said["cartridge"] = "filter"
        return name

    # -- lines ---------------------------------------------------------------------------------------

    def fluid(self, energy: Any, holders: list[str]) -> None:
        """A fluid line through the holders: a source, isolators, joints between, an end."""
        first = energy if isinstance(energy, str) else energy[0]
        depth = self.energies[first].get("isolation", "single")
        slow = self.rng.choice([0.0, 0.0, 1.0, 0.6])
        path = [self.part("main", "source"), self.isolator("valve", slow)]
        if depth != "single" or self.chance(0.15):
            path.append(self.isolator(self.rng.choice(["valve", "valve", "blind"]), slow))
        if depth == "double_block_and_bleed" and self.chance(0.9):
            self.vent(energy, path[1] if self.chance(0.9) else path[2])
        if self.chance(0.2):
            path.insert(2, self._joint())
        for index, holder in enumerate(holders):
            if index and self.chance(0.6):
                path.append(self._joint())
            path.append(holder)
        ending = self.rng.random()
        if ending < 0.35:
            path.append(self.part("tap", "outlet", feeds_back="false", why="ends free above the sink"))
        elif ending < 0.6:
            path += [self.isolator("valve", slow), self.part("tap", "outlet")]
            if depth != "single":
                path.insert(-1, self.isolator("valve", slow))
        elif ending < 0.63:
            path.append(self.part("tap", "outlet"))
        self.line(energy, path)
        if self.chance(0.35 if depth == "double_block_and_bleed" else 0.08):  # another user of the same main
            end = self.holder()
            if self.chance(0.5):
                self.parts[end] = {"role": "outlet", "feeds_back": "false", "why": "ends free above a drain"}
            self.line(energy, [path[0], self.isolator("valve"), end])
        for holder in holders:
            if self.chance(0.5):
                self.vent(energy, holder, **({"normal": "open"} if self.chance(0.05) else {}))
            if self.chance(0.3):
                self.gauge(first, holder)

    def _joint(self) -> str:
        role = self.rng.choice(["restriction", "restriction", "check_valve", "isolator"])
        return (
            self.isolator("valve")
            if role == "isolator"
            else self.part("insert" if role == "restriction" else "check", role)
        )

    def electric(self, energy: str, motor: str) -> None:
        """A feed to a motor, perhaps with a capacitor behind a coil."""
        path = [
            self.part("socket", "source"),
            self.isolator(self.rng.choice(["plug", "breaker", "disconnector"])),
        ]
        if self.energies[energy].get("isolation") == "double":
            path.append(self.isolator("breaker"))
        if self.chance(0.2):
            path.append(self.part("coil", "restriction"))
        path.append(motor)
        if self.chance(0.25):
            path.append(self.part("capacitor", "store"))
        self.line(energy, path)
        if self.chance(0.75):
            self.parts[motor]["runs"] = energy
            if self.chance(0.15):
                self.parts[motor]["normal"] = "stopped"
        if self.chance(0.4):
            self.parts[motor]["cover"] = "true"

    def rarer(self, holder: str) -> None:
        """Heat, a load, a spring, a shaft, a lamp or a chemical at the holder."""
        form = self.rng.choice(
            ["heat", "gravity", "spring", "motion", "radiation", "loop", "chemical", "chemical", "chemical"]
        )
        if form == "chemical":
            more = {"brought": "true"} if self.chance(0.8) else {}
            self.energy("acid", form, **more)
            self.line("acid", [holder, self._other(holder)])
        elif form == "loop":  # a closed circuit that no source feeds
            self.line(self.energy("oil", "liquid_pressure"), [holder, self._other(holder)])
        elif form == "heat":
            self.energy("warmth", form)
            self.line(
                "warmth",
                [self.part("heater", "source"), self.isolator("breaker"), holder]
                if self.chance(0.4)
                else [holder, self._other(holder)],
            )
        elif form in ("gravity", "spring"):
            self.energy("load", form)
            self.line("load", [self.part("weight", "store"), holder])
        else:
            name = self.energy("turning" if form == "motion" else "rays", form)
            self.line(
                name,
                [self.part("drive", "source"), self.isolator("disconnector"), holder]
                + ([self.part("flywheel", "store")] if self.chance(0.5) else []),
            )

    def _other(self, holder: str) -> str:
        others = [p for p, d in self.parts.items() if d["role"] in ("component", "store") and p != holder]
        return self.rng.choice(others) if others else self.holder()


def make_unit(rng: Random) -> UnitMaker:
    """A random unit of about five to fourteen parts."""
    make = UnitMaker(rng)
    if make.chance(0.08):
        make.extra["lockout"] = "exclusive_control"
    form = rng.choice(FLUID_CHOICE)
    depth = rng.choice(["single"] * 5 + ["double", "double_block_and_bleed"])
    fluid: Any = make.energy("fluid", form, **({} if depth == "single" else {"isolation": depth}))
    if make.chance(0.12):
        fluid = ["fluid", make.energy("gas", rng.choice(["gas_pressure", "vacuum"]))]
    holders = [
        make.holder("store" if make.chance(0.2) else "component") for _ in range(rng.choice([1, 1, 2, 2, 3]))
    ]
    make.fluid(fluid, holders)
    for holder in holders:
        if make.chance(0.08):
            make.parts[holder]["keeps"] = ["fluid"]
        elif make.chance(0.08):
            make.parts[holder]["rebuilds"] = ["fluid"]
    motor = None
    if make.chance(0.65):
        make.energy("mains", "electricity", **({"isolation": "double"} if make.chance(0.1) else {}))
        motor = rng.choice(holders) if make.chance(0.6) else make.part("motor", "component")
        make.electric("mains", motor)
        near = [h for h in holders if h != motor]
        if near and make.chance(0.75):
            make.parts[rng.choice(near)]["near"] = [motor]
    if make.chance(0.35):
        make.rarer(rng.choice(holders))
    for isolator in [p for p, d in make.parts.items() if d["role"] == "isolator"]:
        if make.chance(0.04):
            make.parts[isolator]["normal"] = POSITION_OFF[make.parts[isolator]["device"]]
    return make


def add_what_proves(make: UnitMaker, target: str, all_off: frozenset[str]) -> list[tuple[str, str]]:
    """What proves the target's zero once all isolators are off, as (holder, gauge or vent) pairs.

    A vent is added where nothing could relieve the target, and a gauge where nothing could show its zero.
    """
    pairs: list[tuple[str, str]] = []
    plant = Plant(make.unit())
    for energy in plant.energies(target):
        beside = [target] if plant.is_holder(target) else plant.holders_beside(target, energy)
        for holder in beside:
            plant = Plant(make.unit())
            sure = plant.reach(energy, {holder}, all_off, sure=True)
            vents = [p for p in plant.of_role("vent") if p in sure]
            if plant.by_exit(holder, energy) and not vents:
                vents = [make.vent(energy, holder)]
            testers = [
                p
                for p in plant.of_role("gauge")
                if plant.parts[p]["energy"] == energy
                and (plant.parts[p]["at"] in sure or plant.parts[p]["at"] == "any")
            ]
            if vents and plant.by_exit(holder, energy) and make.chance(0.5 if testers else 0.7):
                by = make.rng.choice(vents)
            elif testers:
                by = make.rng.choice(testers)
            else:
                at = (
                    "any"
                    if plant.forms[energy] in ("electricity", "chemical") or make.chance(0.2)
                    else holder
                )
                by = make.gauge(energy, at)
            if (holder, by) not in pairs:
                pairs.append((holder, by))
    return pairs
