"""Monitors of air, joints, things taken out, locks and tanks, against walking every order by hand.

The other side shares nothing but the plan: sets of names, one loop for each condition, every order in turn.
"""

from __future__ import annotations

import random
from itertools import chain, permutations
from typing import Any

import pytest

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import Act, Frame, Plan, Step, StepKind
from proctool.network.reach import Network
from proctool.prove import watch
from proctool.rules import air, closed, fitted, locks, stores, tight
from tests.network.brute import Brute
from tests.network.build import SPAN, unit

CARTRIDGE = Mapping(((Scalar("cartridge", SPAN), Scalar("5 micron", SPAN)),), SPAN)
UNIT = unit(
    {"water": "liquid_pressure", "mains": "electricity"},
    {
        "supply": "source",
        "inlet": {"role": "isolator"},
        "bypass": {"role": "isolator", "normal": "off"},
        "housing": {"role": "component", "traps_air": True, "tighten": "20 N·m"},
        "insert": {"role": "restriction"},
        "pipe": {"role": "component", "traps_air": True},
        "drain": "vent",
        "cock": {"role": "vent", "normally_open": True},
        "cock_valve": {"role": "isolator"},
        "check": "check_valve",
        "neck": {"role": "isolator"},
        "tank": "store",
        "tank_cock": "vent",
        "socket": "source",
        "plug": {"role": "isolator"},
    },
    [
        "water: supply inlet housing insert pipe",
        "water: supply bypass pipe",
        "water: housing drain",
        "water: pipe cock_valve cock",
        "water: pipe check neck tank",
        "water: tank tank_cock",
        "mains: socket plug housing",
    ],
)
ACTS = [
    *((verb, part) for verb in ("isolate", "throttle", "restore") for part in ("inlet", "bypass")),
    *((verb, "plug") for verb in ("isolate", "restore")),
    *((verb, "cock_valve") for verb in ("isolate", "connect")),
    *((verb, "neck") for verb in ("isolate", "restore", "lock", "unlock")),
    *((verb, "tank_cock") for verb in ("vent", "shut")),
    ("discharge", "tank"),
    *((verb, vent) for verb in ("vent", "shut") for vent in ("drain", "cock")),
    *(("bleed", part) for part in ("housing", "pipe")),
    *((verb, "housing") for verb in ("open", "close", "tighten", "loosen", "remove", "fit")),
]
NORMAL_OFF = {"bypass"}
FOUND = {
    *("leak/not-bled", "leak/bled-shut", "energy/closed-loose", "energy/isolated-unlocked"),
    *("energy/store-joined", "graph/removed-not-fitted", "graph/closed-unopened"),
}


def plan(seed):
    rng = random.Random(seed)  # noqa: S311 - cases, not secrets
    many = rng.choice([3, 4, 5])
    steps: list[Any] = []
    before: list[Any] = []
    for i in range(many):
        acts = tuple(
            Act(verb, part, SPAN, what="cartridge" if verb in {"remove", "fit"} else "")
            for verb, part in rng.choices(ACTS, k=rng.choice([1, 2, 3]))
        )
        steps.append(Step(f"s{i}", StepKind.DO, "Do it.", SPAN, acts))
        mask = 0
        for j in range(i):
            if rng.random() < 0.6:
                mask |= 1 << j | before[j]
        before.append(mask)
    starts = rng.choice([{}, {"inlet": ("closed",), "drain": ("open",)}, {"housing": ("open",)}])
    return Plan("p", "P", UNIT, Frame(tuple(steps), tuple(before)), SPAN, {}, starts, {})


def orders(frame):
    every = range(len(frame.steps))
    for order in permutations(every):
        if all(not frame.before[i] & ~sum(1 << j for j in order[:at]) for at, i in enumerate(order)):
            yield order


class Walk:
    """One order, act by act."""

    def __init__(self, made):
        self.plan, self.brute, self.found = made, Brute(UNIT), set()
        self.off, self.part, self.vents = {"bypass"}, set(), {"cock"}
        if "inlet" in made.starts:
            self.off.add("inlet")
            self.vents.add("drain")
        self.open = self.loose = "housing" in made.starts
        self.out = self.shut = self.empty = False
        self.cut, self.locked = set(), set()
        self.air = {p: self.drained(p) for p in ("housing", "pipe")}

    def live(self, part, energy="water", *, full=False):
        off = self.off | (self.part if full else set())
        return part in self.brute.reach(energy, {"supply" if energy == "water" else "socket"}, off)

    def drained(self, part):
        return not self.live(part) and bool(self.vents & set(self.brute.reach("water", {part}, self.off)))

    def opened(self, step):
        """What is asked when the housing is opened."""
        joined = "tank" in self.brute.reach("water", {"housing"}, self.off)
        ways = set(self.brute.reach("water", {"tank"}, self.off, sure=True)) & self.vents
        if joined and not ways and not self.empty:
            self.found.add(("energy/store-joined", step, "housing"))
        if self.cut - self.locked:
            self.found.add(("energy/isolated-unlocked", step, "housing"))

    def do(self, step, act):
        off = set(self.off)
        full = {p: self.live(p, full=True) for p in self.air}
        powered = self.live("housing", "mains")
        match act.verb:
            case "isolate":
                self.off.add(act.part)
                self.part.discard(act.part)
            case "throttle":
                self.part.add(act.part)
                self.off.discard(act.part)
            case "connect" | "restore":
                self.off.discard(act.part)
                self.part.discard(act.part)
                if act.verb == "restore" and act.part in NORMAL_OFF:
                    self.off.add(act.part)
            case "vent":
                self.vents.add(act.part)
            case "shut":
                self.vents.discard(act.part)
            case "bleed":
                self.air[act.part] = False
                if not self.vents & set(self.brute.reach("water", {act.part}, self.off, sure=True)):
                    self.found.add(("leak/bled-shut", step, act.part))
            case "lock":
                self.locked.add(act.part)
            case "unlock":
                self.locked.discard(act.part)
            case "open":
                self.opened(step)
                self.open = self.loose = True
                self.shut = False
            case "close":
                if not self.open:
                    self.found.add(("graph/closed-unopened", step, "housing"))
                self.open = False
                self.shut = self.out
            case "loosen":
                self.loose = True
            case "tighten":
                self.loose &= self.open
            case "remove":
                self.out, self.shut = True, False
            case "fit":
                self.out = self.shut = False
        if act.verb in {"isolate", "throttle", "connect", "restore"}:
            (self.cut.add if act.verb == "isolate" else self.cut.discard)(act.part)
            if off - self.off - {"plug"}:
                self.empty = False
        elif act.verb == "discharge":
            self.empty = True
        for part, trapped in self.air.items():
            if trapped and self.live(part, full=True) and not full[part]:
                self.found.add(("leak/not-bled", step, part))
                self.air[part] = False
            self.air[part] |= self.drained(part)
        if self.live("housing", "mains") and not powered and self.loose and not self.open:
            self.found.add(("energy/closed-loose", step, "housing"))
            self.loose = False

    def end(self):
        for part, trapped in self.air.items():
            if trapped and self.live(part):
                self.found.add(("leak/not-bled", None, part))
        if self.loose and not self.open:
            self.found.add(("energy/closed-loose", None, "housing"))
        if self.shut:
            self.found.add(("graph/removed-not-fitted", None, "housing"))
        return self.found


def by_hand(made):
    found = set()
    for order in orders(made.frame):
        walk = Walk(made)
        for i in order:
            for act in made.frame.steps[i].acts:
                walk.do(made.frame.steps[i].id, act)
        found |= walk.end()
    return found


def watched(made, *, shortcuts=True):
    net = Network(UNIT)
    located = (pack.monitors(made, net) for pack in (air, stores, tight))
    monitors = chain(*located, *(pack.monitors(made) for pack in (closed, fitted, locks)))
    seen = [(monitor.rule, watch(made, monitor, shortcuts=shortcuts)) for monitor in monitors]
    assert all(answer.explored for _, answer in seen)
    return {(rule, c.step, c.lapse.part) for rule, answer in seen for c in answer.caught}


@pytest.mark.parametrize("block", range(3))
def test_every_order_by_hand(block):
    met = set()
    for seed in range(block * 150, block * 150 + 150):
        made = plan(seed)
        found = by_hand(made)
        assert watched(made) == found, f"seed {seed}"
        assert watched(made, shortcuts=False) == found, f"seed {seed}: shortcuts change something"
        met |= {rule for rule, _, _ in found}
    assert met == FOUND
