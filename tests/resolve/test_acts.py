"""Act keys to plain acts: the words of each device, what fits what, and by what zero is verified."""

import pytest

from proctool.model.plan import StepKind
from tests.resolve.small import UNIT, at, run

WIDE = (
    UNIT.replace(
        "  pump:",
        "  breaker: {role: isolator, device: breaker}\n"
        "  cutout:  {role: isolator, device: disconnector, lock: none}\n"
        "  blind:   {role: isolator, device: blind}\n"
        "  lever:   {role: isolator}\n"
        "  tank:    {role: store, cover: true}\n"
        "  check:   {role: check_valve}\n"
        "  dye:     {role: component}\n"
        "  pump:",
    )
    .replace("lines:\n", "lines:\n  odd: {energy: colour, path: [dye, tank]}\n")
    .replace("energies:\n", "energies:\n  colour: {form: chemical, brought: true}\n")
)
"""One part of each kind."""

SWITCH = "Write `switch_off` or `switch_on`: open and close are read both ways."
BODY = "`dismantle` or `reassemble` where its body is meant."


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("close: inlet", "isolate inlet"),
        ("open: inlet", "connect inlet"),
        ("unplug: plug", "isolate plug"),
        ("plug_in: plug", "connect plug"),
        ("switch_off: breaker", "isolate breaker"),
        ("switch_on: breaker", "connect breaker"),
        ("switch_off: cutout", "isolate cutout"),
        ("switch_on: cutout", "connect cutout"),
        ("open: button1", "vent button1"),
        ("close: button1", "shut button1"),
        ("switch_off: pump", "stop pump"),
        ("switch_on: pump", "start pump"),
        ("open: first", "open first"),
        ("close: first", "close first"),
        ("open: tank", "open tank"),
        ("open: insert", "open insert"),
        ("close: check", "close check"),
        ("open: gauge1", "open gauge1"),
        ("open: tap", "open tap"),
        ("dismantle: inlet", "open inlet"),
        ("reassemble: inlet", "close inlet"),
        ("dismantle: plug", "open plug"),
        ("dismantle: button1", "open button1"),
        ("reassemble: button1", "close button1"),
        ("isolate: blind", "isolate blind"),
        ("isolate: lever", "isolate lever"),
    ],
)
def test_device_words_stand_for_plain_acts_in_keys_and_in_acts(written, plain):
    assert run(f"- {{{written}}}\n", unit=WIDE).acts == [plain]
    assert run(f"- acts: [{{{written}}}]\n", unit=WIDE).acts == [plain]


@pytest.mark.parametrize(
    ("written", "message"),
    [
        *(
            (
                f"{word}: {part}",
                f"`{word}` does not fit `{part}`, which is a {device}. {SWITCH}",
            )
            for word in ("open", "close")
            for part, device in (("breaker", "breaker"), ("cutout", "disconnector"))
        ),
        (
            "unplug: inlet",
            f"`unplug` does not fit `inlet`, which is a valve. Write `close` or `open`; {BODY}",
        ),
        (
            "open: plug",
            f"`open` does not fit `plug`, which is a plug. Write `unplug` or `plug_in`; {BODY}",
        ),
        (
            "close: blind",
            f"`close` does not fit `blind`, which is a blind. Write `isolate` or `connect`; {BODY}",
        ),
        ("open: lever", None),
        ("isolate: first", "`isolate` does not fit `first`, which is a component."),
        ("vent: inlet", None),
        ("lock: button1", "`lock` does not fit `button1`, which is a vent."),
        ("open: supply", "`open` does not fit `supply`, which is a source. Nothing is done to a source;"),
        ("dismantle: first", "`dismantle` does not fit `first`"),
        ("switch_off: first", "`switch_off` does not fit `first`"),
        ("lock: cutout", "`cutout` cannot be locked (`lock: none`)."),
        ("throttle: breaker", "`breaker` does not throttle."),
        ("stop: first", "`first` does not run. Say which energy drives it with `runs:`."),
        ("uncover: first", "`first` has no cover."),
        ("verify_zero: insert", "`verify_zero` does not fit `insert`, which is a restriction."),
        ("leak_check: inlet", None),
        ("prove_tester: first", "`prove_tester` does not fit `first`"),
        ("verify_zero: {part: first, by: pump}", "`pump` is a component; only a gauge or a vent"),
        ("dose: {part: first, energy: colour}", "`first` stands on no line of colour."),
        ("dose: {part: dye, energy: coluor}", "`coluor` is no energy of this unit. Did you mean `colour`?"),
        ("isolate: inlte", "`inlte` is no part of this unit. Did you mean `inlet`?"),
        ("acts: [{isolate: inlet}, {lock: cutout}]", "`cutout` cannot be locked"),
        ("fit: cartrige", "`cartrige` is no property of the part it belongs to, and no supply."),
        ("remove: {part: pump, what: cartridge}", "`cartridge` is no property of the part"),
    ],
)
def test_an_act_that_does_not_fit_is_told(written, message):
    fault = run(f"- {{{written}}}\n", unit=WIDE).only
    assert fault.rule in {"graph/act-unfit", "graph/unknown-name"}
    assert at(fault).line == 5
    assert fault.message.startswith(message or f"`{written.split(':', maxsplit=1)[0]}` does not fit")


@pytest.mark.parametrize(
    ("written", "acts"),
    [
        ("isolate: [inlet, plug]", ["isolate inlet", "isolate plug"]),
        ("isolate: [V1, X1]", ["isolate inlet", "isolate plug"]),
        ("isolate: inlet, lock: inlet", ["isolate inlet", "lock inlet"]),
        ("lock: inlet, isolate: inlet", ["lock inlet", "isolate inlet"]),
        (
            "acts: [{isolate: inlet}, {lock: inlet}, {isolate: plug}]",
            ["isolate inlet", "lock inlet", "isolate plug"],
        ),
        ("restore: inlet", ["restore inlet"]),
        ("throttle: inlet", ["throttle inlet"]),
    ],
)
def test_acts_are_done_in_the_order_written(written, acts):
    assert run(f"- {{{written}}}\n").acts == acts


def test_acts_over_an_empty_set_come_to_nothing():
    steps = "- use: b\n  with: {what: {vents_of: pump}}\n- {do: Go on., id: last}\n"
    block = "takes: [what]\nsteps: [{vent: what}, {do: See., id: see}]\n"
    assert run(steps, blocks={"b": block}).ids == ["b/see", "last"]


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("{verify_zero: first}", StepKind.CHECK),
        ("{leak_check: first}", StepKind.CHECK),
        ("{verify_zero: first, leak_check: first}", StepKind.CHECK),
        ("{verify_zero: first, isolate: inlet}", StepKind.DO),
        ("{isolate: inlet}", StepKind.DO),
        ("{do: See that it is zero., verify_zero: first}", StepKind.DO),
        ("{check: It is zero., verify_zero: first}", StepKind.CHECK),
        ("{wait: 5 min}", StepKind.WAIT),
        ("{read: gauge1}", StepKind.READ),
    ],
)
def test_what_a_step_asks_of_the_technician(written, kind):
    (step,) = run(f"- {written}\n").steps
    assert step.kind is kind


@pytest.mark.parametrize(
    ("written", "may_fail", "limits"),
    [
        ("{read: gauge1}", True, "2 to 6 bar"),
        ("{read: gauge2}", False, None),
        ("{read: {gauge: gauge2, within: 1 to 2 bar}}", True, "1 to 2 bar"),
        ("{read: {what: Warmth}}", False, None),
        ("{read: {what: Warmth, within: 40 °C or less}}", True, "40 °C or less"),
        ("{check: It is dry.}", True, None),
        ("{do: Dry it.}", False, None),
        ("{wait: 5 min, until: {gauge: gauge1, reads: 1 bar or less}}", False, None),
    ],
)
def test_which_steps_may_fail(written, may_fail, limits):
    (step,) = run(f"- {written}\n").steps
    assert (step.may_fail, step.limits) == (may_fail, limits)


def test_only_a_gauge_can_be_read():
    assert run("- read: first\n").only.message == "`first` is a component, no gauge: it cannot be read."


class TestVerifyZero:
    def by(self, step, unit=UNIT, head="opens: [first, second]\n"):
        return [(a.part, a.by, a.energy) for s in run(step, unit=unit, head=head).steps for a in s.acts]

    def test_alone_it_takes_the_first_gauge(self):
        assert self.by("- verify_zero: first\n") == [("first", "gauge1", "water")]

    def test_without_a_gauge_it_takes_the_first_vent(self):
        unit = UNIT.replace("gauge1: {role: gauge", "gauge1: {role: component, x: y").replace(
            "gauge2: {role: gauge", "gauge2: {role: component, x: y"
        )
        assert self.by("- verify_zero: first\n", unit) == [("first", "button1", "water")]

    def test_a_gauge_behind_a_restriction_sees_nothing(self):
        unit = UNIT.replace("gauge1: {role: gauge", "gauge1: {role: component, x: y")
        assert self.by("- verify_zero: first\n", unit) == [("first", "button1", "water")]

    def test_a_named_gauge_or_vent_is_taken_as_it_is(self):
        assert self.by("- verify_zero: {part: first, by: gauge2}\n") == [("first", "gauge2", None)]
        assert self.by("- verify_zero: {part: [first, second], by: V5}\n") == [
            ("first", "button2", None),
            ("second", "button2", None),
        ]

    def test_where_nothing_can_show_zero(self):
        fault = run("- verify_zero: pump\n").only
        assert fault.rule == "graph/act-unfit"
        assert fault.message == "No gauge and no vent can show zero of mains at `pump`."
        assert fault.help and "verify_zero: {part: …, by: …}" in fault.help

    def test_each_energy_of_a_part_is_a_check_of_its_own_in_order(self):
        unit = UNIT.replace("  socket:", "  tester: {role: gauge, at: any, energy: mains}\n  socket:")
        unit = unit.replace("path: [socket, plug, pump]", "path: [socket, plug, pump, first]")
        found = run(
            "- verify_zero: first\n  makes: {towel: in_place}\n  otherwise: {end_here: Stop.}\n",
            unit=unit,
            head="opens: [first]\n",
        )
        assert [(a.by, a.energy) for s in found.steps for a in s.acts] == [
            ("gauge1", "water"),
            ("tester", "mains"),
        ]
        assert found.pairs == {"verify_zero-first/water < verify_zero-first/mains"}
        assert all(step.may_fail for step in found.steps)
        assert [step.makes for step in found.steps] == [(), (("towel", "in_place"),)]


class TestOnce:
    @pytest.mark.parametrize(
        "step",
        [
            "{do: Fit it., fit: cartridge}",
            "{do: Take it., remove: cartridge}",
            "{clean: the bowl}",
            "{lubricate: the ring}",
            "{tell: crew}",
            "{do: Write it down.}",
        ],
    )
    def test_allowed(self, step):
        (found,) = run(f"- {step[:-1]}, once: true}}\n").steps
        assert found.once

    @pytest.mark.parametrize("step", ["{isolate: inlet}", "{do: Fit it., fit: cartridge, close: first}"])
    def test_refused(self, step):
        fault = run(f"- {step[:-1]}, once: true}}\n").only
        assert fault.rule == "graph/act-unfit"
        assert fault.message.startswith("`once` does not go with `")
        assert fault.message.endswith("Only clean, fit, lubricate, remove, tell may be once.")


@pytest.mark.parametrize(
    ("act", "told"),
    [
        ("remove: cartridge", ("", "cartridge")),
        ("fit: o_ring", ("", "o_ring")),
        ("fit: {part: first, what: cartridge}", ("first", "cartridge")),
        ("clean: the bowl", ("", "the bowl")),
        ("clean: first", ("first", "")),
        ("tell: crew", ("", "crew")),
    ],
)
def test_acts_on_things_and_people(act, told):
    (step,) = run(f"- {{do: So., {act}}}\n").steps
    assert [(a.part, a.what) for a in step.acts] == [told]
