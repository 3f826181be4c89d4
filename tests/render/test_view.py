"""What a manual says: words, numbers, warnings, needs, endings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proctool.model.plan import Plan, StepKind
from proctool.model.verdict import Charge, Judgement, Proof, Verdict
from proctool.network.reach import Network
from proctool.render.manual import Manual, Trust
from proctool.render.view import manual
from tests.render import kw4
from tests.render.look import items, step


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


def test_how_several_people_lock_and_where_waste_goes():
    said = {"people": ("fitter", "fitter"), "disposal": ("housing O-ring FM-204: general waste",)}
    view = kw4.view(kw4.with_facts(kw4.plan(), **said, locks="shift leader"))
    wanted = {listing.label: listing.items for listing in view.wanted}
    assert wanted["People"] == ("2 \N{MULTIPLICATION SIGN} fitter",)
    assert wanted["Locks"][1] == "Answers for the group lock, and knows who is still exposed: shift leader."
    assert wanted["Disposal"] == said["disposal"]
    each = kw4.view(kw4.with_facts(kw4.plan(), locks="each")).wanted
    assert any("own lock and tag on every isolator" in text for w in each for text in w.items)
    assert not {"Locks", "Disposal"} & {w.label for w in kw4.view(kw4.plan()).wanted}


def test_the_number_stands_in_the_title_block_and_the_identity(view):
    assert view.document == "change-cartridges/KW-4"
    numbered = kw4.view(kw4.with_facts(kw4.plan(), number="FP-KW-101"))
    assert numbered.document == "FP-KW-101"
    assert numbered.name == "Change the sediment and carbon cartridges · KW-4 · FP-KW-101"
    rows = {pair.label: pair.value for pair in numbered.identity}
    assert (rows["Document number"], rows["Procedure"]) == ("FP-KW-101", "change-cartridges/KW-4")


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


def readings_only() -> Plan:
    steps = (
        kw4.do("read", "Read the inlet gauge P1.", kind=StepKind.READ, gauge="inlet_gauge"),
        kw4.check("look", "The floor is dry."),
    )
    return replace(kw4.plan(), frame=kw4.chain(*steps), opens=())


def test_what_no_step_touches_is_named_as_live_without_a_panel():
    view = kw4.view(readings_only())
    assert view.hazards == ()
    assert view.untouched == (
        "These stay live during this job, and no step touches them: water, 4.0 bar, at the sediment housing, "
        "carbon housing and booster pump; mains, 230 V, at the booster pump."
    )
    assert view.not_zero == ()
    assert view.live_lead.endswith("every energy of the unit stays.")


def test_a_vent_brings_the_energy_behind_it_and_the_electricity_beside_it():
    plan = readings_only()
    vent = kw4.do("let", "Open the button.", kw4.act("vent", "first_button"))
    view = kw4.view(replace(plan, frame=kw4.chain(vent)))
    assert [h.hazard for h in view.hazards] == ["Mains voltage.", "Water under pressure."]
    assert view.untouched == ""
    unit = kw4.unit()
    dry = replace(unit, parts={**unit.parts, "first": replace(unit.parts["first"], near=())})
    view = kw4.view(replace(plan, unit=dry, frame=kw4.chain(vent)))
    assert [h.hazard for h in view.hazards] == ["Water under pressure."]
    assert "mains, 230 V," in view.untouched


def test_a_job_that_isolates_an_energy_keeps_its_panel(view):
    assert view.untouched == ""
    assert view.not_zero


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


def test_a_second_isolator_does_not_tell_it_all_again():
    plan = kw4.plan()
    unit = plan.unit
    second = replace(unit.parts["inlet_valve"], id="far_valve", name="far valve", tag="V9")
    main = replace(unit.lines["main"], path=("supply", "far_valve", *unit.lines["main"].path[1:]))
    unit = replace(unit, parts={**unit.parts, "far_valve": second}, lines={**unit.lines, "main": main})
    steps = kw4.after(kw4.chain(kw4.do("far", "Close it.", kw4.act("isolate", "far_valve"))), plan.frame)
    first, again, _ = kw4.view(replace(plan, unit=unit, frame=steps)).isolation
    assert (again.relieved, again.verified, again.normal) == ("as above",) * 3
    assert "as above" not in (first.relieved, first.verified, first.normal)
    assert (again.energy, again.zero) == (first.energy, first.zero)


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
