"""What a manual says: words, numbers, warnings, needs, endings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proctool.model.plan import BackTo, Continue, EndHere, Frame, Need, Otherwise, StepKind
from proctool.model.verdict import Charge, Judgement, Proof, Verdict
from proctool.model.words import Device, Role
from proctool.network.reach import Network
from proctool.render import words
from proctool.render.manual import Item, Manual, Section, Trust
from proctool.render.view import manual
from tests.render import kw4


def items(sections: tuple[Section, ...]) -> list[Item]:
    return [item for section in sections for item in section.items]


def step(view: Manual, number: str) -> Item:
    return next(item for item in items(view.sections) if item.number == number)


@pytest.fixture(scope="module")
def view() -> Manual:
    return kw4.view()


# ------------------------------------------------------------------------------------------ title and verdict


def test_a_proven_manual_says_how_much_was_looked_at(view):
    assert view.trust is Trust.PROVEN
    assert view.mark == ""
    assert view.verdict == (
        "Proven: in each of the 924 orders that the steps allow, no part is opened live, charged, unverified "
        "or unlocked (612 states of work and unit looked at; revision 1 of 2026-05-11)."
    )


@pytest.mark.parametrize("verdict", [Verdict.UNSAFE, Verdict.UNPROVEN])
@pytest.mark.parametrize("draft", [True, False])
def test_what_is_not_proven_is_a_draft_whatever_the_caller_says(verdict, draft):
    view = kw4.view(draft=draft, verdict=verdict)
    assert view.mark == "DRAFT — NOT PROVEN"
    assert view.verdict.startswith("Not ")
    assert view.verdict.endswith("Do not use.")


def test_a_draft_never_calls_itself_proven():
    view = kw4.view(draft=True)
    assert view.mark == "DRAFT — NOT PROVEN"
    assert "roven" not in view.verdict


def test_deviations_are_marked():
    view = kw4.view(verdict=Verdict.SAFE_WITH_DEVIATIONS)
    assert view.mark == "PROVEN WITH DEVIATIONS"
    assert view.verdict.startswith("Proven with recorded deviations")


@pytest.mark.parametrize(
    ("orders", "said"),
    [
        (None, "in every order that"),
        (1, "in the one order that"),
        (1234567, "in each of the 1,234,567 orders"),
        (9 * 10**19, "in each of the more than 10¹⁹ orders"),
    ],
)
def test_orders_are_counted_in_words(orders, said):
    plan = kw4.plan()
    judged = Judgement("change-cartridges", "KW-4", Verdict.SAFE, orders, 3)
    made = manual(plan, kw4.proof(plan), judged, Network(plan.unit), draft=False, digest="")
    assert said in made.verdict


def test_what_is_not_known_is_said_not_left_out():
    plan = replace(kw4.plan(), facts=None, unit=replace(kw4.unit(), checked=None))
    view = kw4.view(plan)
    assert {pair.label: pair.value for pair in view.identity}["Unit checked by"] == "not stated"
    assert view.revision == "not stated"
    assert all(not w.items and w.none == "Not stated." for w in view.wanted)


def test_the_latest_revision_counts_wherever_it_stands():
    plan = kw4.plan()
    assert plan.facts
    old = plan.facts.revisions[0]
    new = replace(old, number="2", date="2026-08-01")
    for order in ((old, new), (new, old)):
        assert (
            kw4.view(replace(plan, facts=replace(plan.facts, revisions=order))).revision == "2 of 2026-08-01"
        )


# ------------------------------------------------------------------------------------------ safety, isolation


def test_the_summary_holds_each_message_once_the_gravest_first(view):
    assert [(h.word, h.hazard) for h in view.hazards] == [
        ("DANGER", "Mains voltage."),
        ("WARNING", "Water under pressure."),
        ("CAUTION", "Water in the housing."),
    ]


def test_an_energy_without_warning_is_named():
    plan = kw4.plan()
    energies = {**plan.unit.energies, "mains": replace(plan.unit.energies["mains"], warning=None)}
    view = kw4.view(replace(plan, unit=replace(plan.unit, energies=energies)))
    assert view.unwarned == "No warning is written for mains: treat as able to kill."


def test_a_notice_has_no_triangle_and_no_colour_of_injury():
    plan = kw4.plan()
    first = replace(plan.frame.steps[0], dangers=(kw4.danger("notice", "Data.", "It is lost.", "Save it."),))
    frame = replace(plan.frame, steps=(first, *plan.frame.steps[1:]))
    told = step(kw4.view(replace(plan, frame=frame)), "1").hazards
    assert [(h.kind, h.triangle) for h in told] == [("notice", False)]


def test_the_isolation_table(view):
    water, mains = view.isolation
    assert (water.energy, water.size) == ("Water (liquid under pressure)", "4.0 bar")
    assert water.isolator == "Inlet valve V1: closed"
    assert water.place == "left of the pump"
    assert water.lock == "your own lock through its hasp, and your tag"
    assert water.relieved == (
        "open sediment relief button V4 (to bucket) and open carbon relief button V5 (to bucket)"
    )
    assert water.verified == "inlet gauge P1 (for sediment housing); outlet gauge P2 (for carbon housing)"
    assert (water.normal, water.zero) == (
        "inlet gauge P1: 2.0 to 6.0 bar; outlet gauge P2: 1.0 to 6.0 bar",
        "0 bar",
    )
    assert mains.isolator == "Pump plug X1: unplugged"
    assert mains.lock == "in its cover, closed with your own lock and tag"
    assert mains.relieved == "nothing is stored: gone when the isolator is off"
    assert mains.verified == "not measured: no part with mains is opened"
    assert (mains.normal, mains.zero) == ("230 V", "0 V")


def without(*verbs: str):
    plan = kw4.plan()
    steps = tuple(replace(s, acts=tuple(a for a in s.acts if a.verb not in verbs)) for s in plan.frame.steps)
    return replace(plan, frame=replace(plan.frame, steps=steps))


def test_the_isolation_table_hides_no_gap():
    view = kw4.view(without("lock", "vent", "verify_zero"))
    assert [row.lock for row in view.isolation] == ["NOT LOCKED in this procedure"] * 2
    assert view.isolation[0].relieved == "NOT RELIEVED in this procedure"
    assert view.isolation[0].verified == "NOT VERIFIED in this procedure"


def test_an_energy_that_nothing_isolates_keeps_its_row():
    view = kw4.view(without("isolate"))
    assert [row.isolator for row in view.isolation] == ["No isolator is used"] * 2


def test_what_stays_live(view):
    assert view.live == (
        "Water is live at the water main, up to the inlet valve V1.",
        "Mains is live at the wall socket, up to the pump plug X1.",
    )


def test_what_is_still_trapped_or_never_isolated_is_told():
    plan = without("isolate")
    proof = kw4.proof(plan)
    opening = "open-up/first/unscrew-housing"
    worst = {**proof.worst, opening: {("first", "water"): Charge.LIVE, ("second", "water"): Charge.TRAPPED}}
    made = manual(
        plan, replace(proof, worst=worst), kw4.judgement(), Network(plan.unit), draft=True, digest=""
    )
    assert made.live == (
        "Water is live at the water main and sediment housing; nothing isolates it.",
        "Water is cut off but still in the carbon housing.",
        "Mains is live at the wall socket; nothing isolates it.",
    )


def test_a_step_the_proof_did_not_reach_is_not_called_safe():
    plan = kw4.plan()
    made = manual(
        plan,
        Proof((), False, 1, None, {}),
        kw4.judgement(Verdict.UNPROVEN),
        Network(plan.unit),
        draft=True,
        digest="",
    )
    assert made.live[-1] == "The proof did not reach this step: take every part as live."
    assert all(not item.states for item in items(made.sections))


# ------------------------------------------------------------------------------------------ steps


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


def test_the_same_steps_are_written_out_once(view):
    failure = step(view, "28").failure
    assert failure
    assert failure.lead == "If not OK, do steps 27.1 to 27.8 now, as written out under step 27."
    assert failure.refers == "step-27-1"
    assert failure.sections == ()
    assert failure.ending.startswith("Then go back to step 9")


def test_steps_that_leave_another_state_are_written_out_again():
    plan = kw4.plan()
    proof = kw4.proof(plan)
    here = "return-to-service/second-dry/otherwise/make-safe/stop-machine"
    worst = {**proof.worst, here: {**proof.worst[here], ("motor", "mains"): Charge.LIVE}}
    made = manual(
        plan, replace(proof, worst=worst), kw4.judgement(), Network(plan.unit), draft=False, digest=""
    )
    failure = step(made, "28").failure
    assert failure
    assert len(items(failure.sections)) == 8


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
    assert (read.label, read.blanks) == ("Read", ("Reading",))
    assert [(f.label, f.value) for f in read.facts] == [("Must be", "1.0 to 6.0 bar on outlet gauge P2")]
    assert (wait.label, wait.blanks) == ("Wait", ("Start", "End"))
    assert [(f.label, f.value) for f in wait.facts] == [("Duration", "at least 10 s")]


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
