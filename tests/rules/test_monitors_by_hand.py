"""Monitors of air, loose joints and things taken out, against walking every order by hand.

The other side shares nothing but the plan: sets of names, one loop for each condition, every order in turn.
"""

from __future__ import annotations

import random
from itertools import chain, permutations

import pytest

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import Act, Frame, Plan, Step, StepKind
from proctool.network.reach import Network
from proctool.prove import watch
from proctool.rules import air, fitted, tight
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
        "socket": "source",
        "plug": {"role": "isolator"},
    },
    [
        "water: supply inlet housing insert pipe",
        "water: supply bypass pipe",
        "water: housing drain",
        "water: pipe cock_valve cock",
        "mains: socket plug housing",
    ],
)
ACTS = [
    *((verb, part) for verb in ("isolate", "throttle", "restore") for part in ("inlet", "bypass")),
    *((verb, "plug") for verb in ("isolate", "restore")),
    *((verb, "cock_valve") for verb in ("isolate", "connect")),
    *((verb, vent) for verb in ("vent", "shut") for vent in ("drain", "cock")),
    *(("bleed", part) for part in ("housing", "pipe")),
    *((verb, "housing") for verb in ("open", "close", "tighten", "loosen", "remove", "fit")),
]
NORMAL_OFF = {"bypass"}
FOUND = {"leak/not-bled", "leak/bled-shut", "energy/closed-loose", "graph/removed-not-fitted"}


def plan(seed):
    rng = random.Random(seed)  # noqa: S311 - cases, not secrets
    many = rng.choice([3, 4, 5])
    steps, before = [], []
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
        self.out = self.shut = False
        self.air = {p: self.drained(p) for p in ("housing", "pipe")}

    def live(self, part, energy="water", *, full=False):
        off = self.off | (self.part if full else set())
        return part in self.brute.reach(energy, {"supply" if energy == "water" else "socket"}, off)

    def drained(self, part):
        return not self.live(part) and bool(self.vents & set(self.brute.reach("water", {part}, self.off)))

    def do(self, step, act):
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
            case "open":
                self.open = self.loose = True
                self.shut = False
            case "close":
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
    monitors = chain(air.monitors(made, net), tight.monitors(made, net), fitted.monitors(made))
    seen = [(monitor.rule, watch(made, monitor, shortcuts=shortcuts)) for monitor in monitors]
    assert all(answer.explored for _, answer in seen)
    return {(rule, c.step, c.lapse.part) for rule, answer in seen for c in answer.caught}


@pytest.mark.parametrize("block", range(4))
def test_every_order_by_hand(block):
    met = set()
    for seed in range(block * 80, block * 80 + 80):
        made = plan(seed)
        found = by_hand(made)
        assert watched(made) == found, f"seed {seed}"
        assert watched(made, shortcuts=False) == found, f"seed {seed}: shortcuts change something"
        met |= {rule for rule, _, _ in found}
    assert met == FOUND
