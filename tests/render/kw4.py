"""A plan and a proof by hand: the cartridge change of a twin-cartridge skid with a booster pump."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import (
    Act,
    BackTo,
    Continue,
    EndHere,
    Facts,
    Frame,
    Need,
    Otherwise,
    Plan,
    Revision,
    Step,
    StepKind,
    every_step,
)
from proctool.model.span import Span
from proctool.model.unit import Checked, Danger, Energy, Line, Part, Unit
from proctool.model.verdict import Charge, Judgement, Proof, Verdict
from proctool.model.words import Device, Form, Lock, Role
from proctool.network.reach import Network
from proctool.render.manual import Manual
from proctool.render.view import manual

AT = Span("kw-4.yaml", 1, 1, 1, 2)
DIGEST = "3b1f" * 16


def danger(word: str, hazard: str, harm: str, avoid: str) -> Danger:
    return Danger(word, hazard, harm, avoid, AT)


def part(
    name_id: str, role: Role, name: str, properties: dict[str, str] | None = None, **known: object
) -> Part:
    entries = tuple((Scalar(k, AT), Scalar(v, AT)) for k, v in (properties or {}).items())
    return Part(name_id, role, AT, name, Mapping(entries, AT), **known)  # type: ignore[arg-type]


def unit() -> Unit:
    water = Energy(
        "water",
        Form.LIQUID_PRESSURE,
        AT,
        "water",
        "4.0 bar",
        "0 bar",
        warning=danger(
            "warning",
            "Water under pressure.",
            "A housing can fly off and injure you.",
            "Open a housing only after its zero is verified.",
        ),
    )
    mains = Energy(
        "mains",
        Form.ELECTRICITY,
        AT,
        "mains",
        "230 V",
        "0 V",
        warning=danger(
            "danger",
            "Mains voltage.",
            "It can kill you.",
            "Open the pump only after its plug is locked in its cover.",
        ),
    )
    parts = [
        part("supply", Role.SOURCE, "water main"),
        part(
            "inlet_valve",
            Role.ISOLATOR,
            "inlet valve",
            {"place": "left of the pump"},
            tag="V1",
            device=Device.VALVE,
            throttles=True,
        ),
        part("first", Role.COMPONENT, "sediment housing", seal="housing O-ring", near=("motor",)),
        part("first_insert", Role.RESTRICTION, "sediment cartridge"),
        part("first_button", Role.VENT, "sediment relief button", {"to": "bucket"}, tag="V4"),
        part("second", Role.COMPONENT, "carbon housing", seal="housing O-ring", near=("motor",)),
        part("second_insert", Role.RESTRICTION, "carbon cartridge"),
        part("second_button", Role.VENT, "carbon relief button", {"to": "bucket"}, tag="V5"),
        part("tap_line", Role.OUTLET, "filtered-water line", feeds_back=False),
        part("socket", Role.SOURCE, "wall socket"),
        part(
            "pump_plug",
            Role.ISOLATOR,
            "pump plug",
            {"place": "behind the frame"},
            tag="X1",
            device=Device.PLUG,
            lock=Lock.COVER,
        ),
        part("motor", Role.COMPONENT, "booster pump", runs="mains", normally_running=True),
        part(
            "inlet_gauge",
            Role.GAUGE,
            "inlet gauge",
            {"span": "10 bar"},
            tag="P1",
            at="first",
            energy="water",
            usual="2.0 to 6.0 bar",
        ),
        part(
            "outlet_gauge",
            Role.GAUGE,
            "outlet gauge",
            {"span": "10 bar"},
            tag="P2",
            at="second",
            energy="water",
            usual="1.0 to 6.0 bar",
        ),
    ]
    lines = [
        Line(
            "main",
            ("water",),
            (
                "supply",
                "inlet_valve",
                "motor",
                "first",
                "first_insert",
                "second",
                "second_insert",
                "tap_line",
            ),
            AT,
        ),
        Line("button1", ("water",), ("first", "first_button"), AT),
        Line("button2", ("water",), ("second", "second_button"), AT),
        Line("power", ("mains",), ("socket", "pump_plug", "motor"), AT),
    ]
    return Unit(
        "KW-4",
        "Twin-cartridge water skid with booster pump",
        "kw-4.yaml",
        AT,
        {e.id: e for e in (water, mains)},
        {p.id: p for p in parts},
        {line.id: line for line in lines},
        {},
        family="KW",
        checked=Checked("R. Imrie", "2026-05-02", "KW-4-E2", "4100 to 4999"),
    )


def act(verb: str, on: str = "", by: str | None = None, what: str = "") -> Act:
    return Act(verb, on, AT, by=by, what=what)


def do(name: str, text: str, *acts: Act, kind: StepKind = StepKind.DO, **more: object) -> Step:
    if kind in {StepKind.CHECK, StepKind.READ}:
        more.setdefault("otherwise", Otherwise(Frame((), ()), EndHere("Call Fellmoor service.")))
    return Step(name, kind, text, AT, acts, **more)  # type: ignore[arg-type]


def check(name: str, text: str, *acts: Act, **more: object) -> Step:
    return do(name, text, *acts, kind=StepKind.CHECK, **more)


def chain(*steps: Step) -> Frame:
    """Steps that follow one another."""
    return Frame(tuple(steps), tuple((1 << i) - 1 for i in range(len(steps))))


def after(first: Frame, second: Frame) -> Frame:
    """All of one frame, then all of the other."""
    n = len(first.steps)
    all_first = (1 << n) - 1
    return Frame(first.steps + second.steps, first.before + tuple(all_first | m << n for m in second.before))


def beside(first: Frame, second: Frame) -> Frame:
    """Two frames without an order between them."""
    n = len(first.steps)
    return Frame(first.steps + second.steps, first.before + tuple(m << n for m in second.before))


def make_safe(root: str, heading: tuple[str, ...] = ("Make safe",)) -> Frame:
    leave = Otherwise(
        Frame((), ()),
        EndHere("Leave the locks on. A valve leaks or a gauge is stuck. Call Fellmoor service."),
    )
    steps = [
        do("tell-people", "Tell the line supervisor that the unit stops.", act("tell", what="supervisor")),
        do("stop-machine", "Stop the booster pump with the switch on the pump.", act("stop", "motor")),
        do(
            "inlet_valve/isolate-device",
            "Close the inlet valve V1. Put your lock and tag on the inlet valve V1.",
            act("isolate", "inlet_valve"),
            act("lock", "inlet_valve"),
        ),
        do(
            "pump_plug/isolate-device",
            "Pull the pump plug X1 out and put it in its cover. Put your lock and tag on the cover.",
            act("isolate", "pump_plug"),
            act("lock", "pump_plug"),
        ),
        do(
            "first_button/vent",
            "Open the sediment relief button V4 and wait until the flow stops.",
            act("vent", "first_button"),
        ),
        do(
            "second_button/vent",
            "Open the carbon relief button V5 and wait until the flow stops.",
            act("vent", "second_button"),
        ),
        check(
            "first/verify",
            "The inlet gauge P1 reads 0 bar.",
            act("verify_zero", "first", "inlet_gauge"),
            otherwise=leave,
        ),
        check(
            "second/verify",
            "The outlet gauge P2 reads 0 bar.",
            act("verify_zero", "second", "outlet_gauge"),
            otherwise=leave,
        ),
    ]
    return chain(*(replace(s, id=f"{root}/{s.id}", heading=heading) for s in steps))


def housing(
    part_id: str, name: str, cartridge: str, heading: tuple[str, ...] = ("Change the cartridges",)
) -> Frame:
    root = f"open-up/{part_id}"
    new_seal = chain(
        do(f"{root}/look/otherwise/fit", f"Fit a new housing O-ring to the {name}.", act("new_seal", part_id))
    )
    steps = [
        do(
            "unscrew-housing",
            f"Unscrew the {name} with the strap wrench.",
            act("open", part_id),
            dangers=(
                danger(
                    "caution",
                    "Water in the housing.",
                    "The floor gets slippery.",
                    "Keep the bucket under it.",
                ),
            ),
        ),
        do("take-housing", f"Take the used cartridge out of the {name}.", act("remove", part_id), once=True),
        check(
            "look",
            f"The O-ring of the {name} has no cut and no flat side.",
            act("inspect_seal", part_id),
            otherwise=Otherwise(new_seal, Continue()),
        ),
        do(
            "put-housing",
            f"Put a new {cartridge} into the {name}.",
            act("fit", part_id),
            once=True,
            notes=("The arrow on the cartridge points *up*.",),
        ),
        do("screw-housing", f"Screw the {name} on by hand.", act("close", part_id)),
        do(
            "tighten-housing",
            f"Tighten the {name} to 22 N·m (16 lbf·ft) with the torque wrench.",
            act("tighten", part_id),
        ),
    ]
    return chain(*(replace(s, id=f"{root}/{s.id}", heading=heading) for s in steps))


def frame() -> Frame:
    opened = beside(
        housing("first", "sediment housing", "5 micron sediment cartridge"),
        housing("second", "carbon housing", "carbon block cartridge"),
    )
    head = after(make_safe("make-safe"), opened)
    undone = sum(1 << i for i in range(8, len(head.steps) + 14))

    def leak(check_id: str) -> Otherwise:
        return Otherwise(
            make_safe(f"return-to-service/{check_id}/otherwise/make-safe"),
            BackTo(
                "open-up",
                0,
                undone,
                2,
                Otherwise(Frame((), ()), EndHere("Take the unit out of use. Call Fellmoor service.")),
            ),
        )

    tail = [
        do("shut-first", "Shut the sediment relief button V4.", act("shut", "first_button")),
        do("shut-second", "Shut the carbon relief button V5.", act("shut", "second_button")),
        do("unlock-inlet", "Take your lock and tag off the inlet valve V1.", act("unlock", "inlet_valve")),
        do(
            "fill",
            "Open the inlet valve V1 a quarter turn.",
            act("throttle", "inlet_valve"),
            needs=(Need("first", "shut", AT), Need("second", "shut", AT)),
        ),
        do(
            "bleed",
            "Press each relief button until water comes without air.",
            act("bleed", "first"),
            act("bleed", "second"),
        ),
        do("full", "Open the inlet valve V1 fully.", act("connect", "inlet_valve")),
        check(
            "first-dry",
            "No water leaves the sediment housing.",
            act("leak_check", "first"),
            lasts="2 min",
            otherwise=leak("first-dry"),
        ),
        check(
            "second-dry",
            "No water leaves the carbon housing.",
            act("leak_check", "second"),
            lasts="2 min",
            otherwise=leak("second-dry"),
        ),
        do(
            "unlock-plug",
            "Take your lock and tag off the cover of the pump plug X1.",
            act("unlock", "pump_plug"),
        ),
        do(
            "plug-in",
            "Put the pump plug X1 into its socket.",
            act("connect", "pump_plug"),
            hold="the line supervisor",
        ),
        do("wait", "Wait until the pump control has started.", kind=StepKind.WAIT, lasts="10 s"),
        do("start", "Start the booster pump with the switch on the pump.", act("start", "motor")),
        do("read", "Read the outlet gauge P2.", kind=StepKind.READ, gauge="outlet_gauge"),
        do("tell", "Tell the line supervisor that the unit runs.", act("tell", what="supervisor")),
    ]
    back = chain(*(replace(s, id=f"return-to-service/{s.id}", heading=("Return to service",)) for s in tail))
    return after(head, back)


def plan() -> Plan:
    return Plan(
        "change-cartridges",
        "Change the sediment and carbon cartridges",
        unit(),
        frame(),
        AT,
        {"supervisor": ("unaware", "knows_stop", "running")},
        {},
        {},
        ("first", "second"),
        Facts(
            "Fellmoor Plant service procedures",
            "en",
            "30 min",
            ("1 service technician with lockout training",),
            ("safety glasses", "cut-resistant gloves"),
            ("strap wrench", "torque wrench", "own lock and tag, 2 of each"),
            ("5 micron sediment cartridge", "carbon block cartridge", "housing O-ring FM-204"),
            ("every 6 months",),
            (Revision("1", "2026-05-11", "R. Imrie", "First issue"),),
        ),
    )


def worst(every: Frame) -> dict[str, dict[tuple[str, str], Charge]]:
    """What the steps leave, told by what they do: enough for this one plan, where file order is the worst."""
    found: dict[str, dict[tuple[str, str], Charge]] = {}
    water = mains = Charge.LIVE
    for step in every_step(every):
        verbs = {(a.verb, a.part) for a in step.acts}
        if ("isolate", "inlet_valve") in verbs:
            water = Charge.TRAPPED
        if ("isolate", "pump_plug") in verbs:
            mains = Charge.ZERO
        if ("vent", "first_button") in verbs:
            water = Charge.ZERO
        if ("throttle", "inlet_valve") in verbs or ("connect", "inlet_valve") in verbs:
            water = Charge.LIVE
        if ("connect", "pump_plug") in verbs:
            mains = Charge.LIVE
        last = Charge.TRAPPED if ("vent", "first_button") in verbs else water
        if step.id == "return-to-service/second-dry":
            water = last = Charge.LIVE
        found[step.id] = {
            ("first", "water"): water,
            ("second", "water"): last,
            ("motor", "water"): last,
            ("motor", "mains"): mains,
        }
        if step.id.startswith("return-to-service/") and step.id.endswith("/second/verify"):
            water = Charge.LIVE
    return found


def proof(of: Plan) -> Proof:
    return Proof((), True, 612, 924, worst(of.frame))


def judgement(verdict: Verdict = Verdict.SAFE) -> Judgement:
    return Judgement("change-cartridges", "KW-4", verdict, 924, 612)


def view(
    of: Plan | None = None, *, draft: bool = False, verdict: Verdict = Verdict.SAFE, **more: Any
) -> Manual:
    of = of or plan()
    return manual(of, proof(of), judgement(verdict), Network(of.unit), draft=draft, digest=DIGEST, **more)


def with_facts(of: Plan, **more: Any) -> Plan:
    """A plan with other facts."""
    assert of.facts
    return replace(of, facts=replace(of.facts, **more))
