"""What a manual says step by step: order, needs, warnings, states, readings, endings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import BackTo, Continue, EndHere, Frame, Need, Otherwise, Plan, StepKind
from proctool.model.words import Device, Role
from proctool.render import words
from proctool.render.item import Blank, Scale
from proctool.render.manual import Manual
from tests.render import kw4
from tests.render.look import items, step


@pytest.fixture(scope="module")
def view() -> Manual:
    return kw4.view()


def test_steps_are_numbered_through_and_grouped(view):
    assert [item.number for item in items(view.sections)] == [str(n) for n in range(1, 35)]
    assert [(h.level, h.text) for s in view.sections for h in s.headings] == [
        (3, "Make safe"),
        (3, "Change the cartridges"),
        (4, "Sediment housing"),
        (4, "Carbon housing"),
        (3, "Return to service"),
    ]


def test_free_groups_are_said_to_be_free(view):
    (said,) = [s.order for s in view.sections if s.order]
    assert said == (
        "Steps 9 to 14 (sediment housing) and steps 15 to 20 (carbon housing): either first, or turn about. "
        "Keep the order inside each."
    )
    assert [bool(s.free) for s in view.sections if s.items] == [False, True, True, False]


def test_single_free_steps_are_said_to_be_free():
    steps = tuple(kw4.do(f"s{i}", "Do it.") for i in range(4))
    plan = replace(kw4.plan(), frame=Frame(steps, (0, 1, 1, 0b111)), opens=())
    assert [s.order for s in kw4.view(plan).sections if s.order] == ["Steps 2 and 3: in any order."]


def test_opening_needs_are_derived(view):
    assert step(view, "9").needs == (
        "inlet valve V1 closed and locked",
        "pump plug X1 unplugged and locked",
        "sediment relief button V4 open",
        "sediment housing relieved and verified",
        "booster pump: mains at zero",
    )


def test_written_needs_are_said_in_the_words_of_the_trade():
    parts = kw4.unit().parts
    said = {
        ("pump_plug", "unplugged"): "pump plug X1 unplugged",
        ("inlet_valve", "part_open"): "inlet valve V1 part open",
        ("first", "relieved"): "sediment housing relieved",
        ("first", "proven"): "sediment housing relieved and verified",
        ("first", "leak_checked"): "sediment housing leak-checked",
        ("supervisor", "knows_stop"): "supervisor: knows stop",
    }
    assert {key: words.need(parts.get(key[0]), *key) for key in said} == said


def test_a_need_said_more_fully_is_not_said_twice():
    plan = kw4.plan()
    place = 8
    opening = replace(
        plan.frame.steps[place],
        needs=(
            Need("inlet_valve", "closed", kw4.AT),
            Need("first", "proven", kw4.AT),
            Need("first", "relieved", kw4.AT),
        ),
    )
    steps = (*plan.frame.steps[:place], opening, *plan.frame.steps[place + 1 :])
    assert (
        step(kw4.view(replace(plan, frame=replace(plan.frame, steps=steps))), "9").needs
        == step(kw4.view(), "9").needs
    )


def test_warnings_of_what_is_opened_and_near_stand_before_the_step(view):
    assert [h.hazard for h in step(view, "15").hazards] == [
        "Mains voltage.",
        "Water under pressure.",
        "Water in the housing.",
    ]
    assert step(view, "16").hazards == ()


def test_each_step_tells_what_it_leaves(view):
    assert [(s.energy, s.charge, s.mark, s.where, s.changed) for s in step(view, "5").states] == [
        ("water", "trapped", "◐", "carbon housing", False),
        ("water", "zero", "○", "sediment housing", True),
        ("mains", "zero", "○", "", False),
    ]


def test_a_failed_check_can_go_on(view):
    failure = step(view, "11").failure
    assert failure
    assert failure.lead == "If not OK, do step 11.1:"
    assert [item.number for item in items(failure.sections)] == ["11.1"]
    assert (failure.ending, failure.stops) == ("Then go on after this step.", False)


def test_a_failed_check_can_stop(view):
    failure = step(view, "7").failure
    assert failure
    assert (failure.lead, failure.ending, failure.stops) == ("If not OK:", "Stop here.", True)
    assert failure.text.startswith("Leave the locks on.")


def test_a_failed_check_can_lead_back(view):
    failure = step(view, "27").failure
    assert failure
    assert failure.lead == "If not OK, do steps 27.1 to 27.8:"
    assert failure.ending == "Then go back to step 9 and work on from there, at most 2 times."
    assert failure.target == "step-9"
    assert failure.again == "Steps 10, 12, 16 and 18 are done once only: if done already, skip."
    assert failure.then
    assert failure.then.lead == "If it is still not OK after going back 2 times:"
    assert failure.then.text == "Take the unit out of use. Call Fellmoor service."
    assert [(h.level, h.text) for s in failure.sections for h in s.headings] == [(4, "Make safe")]


def test_numbers_go_on_in_what_follows_going_back():
    one = Frame((kw4.do("look/otherwise/a", "Do a."),), (0,))
    two = Frame((kw4.do("look/then/b", "Do b."),), (0,))
    look = kw4.check(
        "look", "It is dry.", otherwise=Otherwise(one, BackTo("first", 0, 3, 1, Otherwise(two, Continue())))
    )
    plan = replace(kw4.plan(), frame=kw4.chain(kw4.do("first", "Do it."), look), opens=())
    failure = step(kw4.view(plan), "2").failure
    assert failure
    assert failure.then
    assert failure.ending == "Then go back to step 1 and work on from there, at most once."
    assert failure.then.lead == "If it is still not OK after going back once, do step 2.2:"
    assert items(failure.then.sections)[0].anchor == "step-2-2"


def test_going_back_out_of_nested_steps_names_the_outer_step():
    inner = kw4.check(
        "look/otherwise/b", "B is dry.", otherwise=Otherwise(Frame((), ()), BackTo("a", 1, 3, None))
    )
    look = kw4.check("look", "It is dry.", otherwise=Otherwise(Frame((inner,), (0,)), EndHere("Call.")))
    plan = replace(kw4.plan(), frame=kw4.chain(kw4.do("a", "Do it."), look), opens=())
    failure = step(kw4.view(plan), "2").failure
    assert failure
    deeper = items(failure.sections)[0].failure
    assert deeper
    assert deeper.ending == "Go back to step 1 and work on from there."
    assert deeper.then is None


def test_readings_and_waits_have_blanks_and_limits(view):
    read, wait = step(view, "33"), step(view, "31")
    assert (read.label, read.blanks) == ("Read", (Blank("Reading", "bar", (Scale("bar", "1.0", "6.0"),)),))
    assert [(f.label, f.value) for f in read.facts] == [("Must be", "1.0 to 6.0 bar on outlet gauge P2")]
    assert (wait.label, wait.blanks) == ("Wait", (Blank("Start"), Blank("End")))
    assert [(f.label, f.value) for f in wait.facts] == [("Duration", "at least 10 s")]


def test_limits_are_told_in_the_measures_of_the_library():
    plan = kw4.with_facts(kw4.plan(), shows={"pressure": ("bar", "psi"), "temperature": ("°C", "°F")})
    view = kw4.view(plan)
    assert [f.value for f in step(view, "33").facts] == [
        "1.0 to 6.0 bar (14.6 to 87.0 psi) on outlet gauge P2"
    ]
    assert view.isolation[0].normal.startswith("inlet gauge P1: 2.0 to 6.0 bar (29.1 to 87.0 psi)")
    assert (view.isolation[0].size, view.isolation[0].zero) == ("4.0 bar (58.0 psi)", "0 bar (0 psi)")
    psi = kw4.view(kw4.with_facts(kw4.plan(), shows={"pressure": ("psi", "bar")}))
    scales = (Scale("psi", "14.6", "87.0"), Scale("bar", "1.0", "6.0"))
    assert step(psi, "33").blanks == (Blank("Reading", "psi", scales),)


def with_capacitor() -> Plan:
    """The pump keeps a charge that leaves by waiting only."""
    unit = kw4.unit()
    waits = Mapping(((Scalar("mains", kw4.AT), Scalar("5 min", kw4.AT)),), kw4.AT)
    own = Mapping(((Scalar("leaves_in", kw4.AT), waits),), kw4.AT)
    motor = replace(unit.parts["motor"], role=Role.STORE, properties=own)
    steps = (
        kw4.do("off", "Pull it out.", kw4.act("isolate", "pump_plug")),
        kw4.do("w", "Wait 6 min.", kw4.act("discharge", "motor"), kind=StepKind.WAIT, lasts="6 min"),
        kw4.do("take", "Take the cover off.", kw4.act("uncover", "motor")),
    )
    unit = replace(unit, parts={**unit.parts, "motor": motor})
    return replace(kw4.plan(), unit=unit, frame=kw4.chain(*steps), opens=())


def test_least_waits_are_told_at_the_step_and_in_the_table():
    view = kw4.view(with_capacitor())
    assert [(f.label, f.value) for f in step(view, "2").facts] == [
        ("Duration", "at least 6 min"),
        ("Least wait", "5 min for mains to leave the booster pump"),
    ]
    assert view.isolation[-1].relieved == "discharge booster pump; wait at least 5 min for the booster pump"


def test_a_wait_tells_the_reading_that_ends_it():
    step_ = kw4.do(
        "w", "Wait.", kind=StepKind.WAIT, lasts="40 min", gauge="outlet_gauge", limits="40 °C or less"
    )
    plan = replace(kw4.plan(), frame=kw4.chain(step_), opens=())
    assert [(f.label, f.value) for f in step(kw4.view(plan), "1").facts] == [
        ("Duration", "at least 40 min"),
        ("Until", "outlet gauge P2 reads 40 °C or less"),
    ]


def test_an_uncovered_part_asks_for_its_electricity_only():
    unit = kw4.unit()
    tester = kw4.part("tester", Role.GAUGE, "voltage tester", at="any", energy="mains")
    breaker = replace(unit.parts["pump_plug"], device=Device.BREAKER)
    plan = replace(
        kw4.plan(),
        unit=replace(unit, parts={**unit.parts, "pump_plug": breaker, "tester": tester}),
        frame=kw4.chain(
            kw4.do("off", "Switch it off.", kw4.act("isolate", "pump_plug")),
            kw4.do("take", "Take the cover off.", kw4.act("uncover", "motor")),
            kw4.check("test", "The tester shows 0 V.", kw4.act("verify_zero", "motor", "tester")),
        ),
        opens=(),
    )
    view = kw4.view(plan)
    assert step(view, "2").needs == ("pump plug X1 off",)
    assert [h.word for h in step(view, "2").hazards] == ["DANGER"]
    assert view.isolation[-1].verified == "voltage tester (for booster pump)"


def test_found_and_left_are_told():
    plan = replace(kw4.plan(), starts={"inlet_valve": ("closed", "locked")}, leaves={"motor": ("stopped",)})
    view = kw4.view(plan)
    assert view.found == ("inlet valve V1: closed and locked",)
    assert view.left == ("booster pump: stopped",)


@pytest.mark.parametrize(
    ("places", "said"),
    [([3], "step 3"), ([1, 2], "steps 1 and 2"), ([5, 1, 3, 2, 9, 8], "steps 1 to 3, 5, 8 and 9")],
)
def test_step_numbers_in_words(places, said):
    assert words.ranges(places) == said
