"""Deviations stand in full in their section, and in one line on every page."""

from __future__ import annotations

from dataclasses import replace

from proctool.model.verdict import Verdict
from proctool.render.grid import Pair
from proctool.render.html import page
from proctool.render.manual import Deviated, Trust
from tests.render import kw4
from tests.render.test_html import Outline

ONE = Deviated(
    "The sediment housing is opened with no towel.",
    "house/towel-first",
    "open-up/first/unscrew-housing",
    "The frame leaves no room.",
    "Lay the towel on the floor.",
    "R. Imrie",
    "2027-03-31",
)


def test_a_deviation_is_told_in_full():
    view = kw4.view(deviations=(ONE,), verdict=Verdict.SAFE_WITH_DEVIATIONS)
    (told,) = view.departures
    assert (told.place, told.target, told.message) == ("Step 9", "step-9", ONE.message)
    assert told.entries == (
        Pair("Why", "The frame leaves no room."),
        Pair("Do this instead", "Lay the towel on the floor."),
        Pair("Granted by", "R. Imrie"),
        Pair("Until", "2027-03-31"),
        Pair("Rule", "house/towel-first"),
    )
    assert view.named == "Deviation: step 9. Not valid after 2027-03-31."
    text = Outline(page(view, {})).text
    assert "PROVEN WITH DEVIATIONS" in text
    assert all(pair.value in text for pair in told.entries)


def test_several_are_named_with_the_first_date():
    other = replace(ONE, step=None, until="2026-12-01")
    view = kw4.view(deviations=(ONE, other), verdict=Verdict.SAFE_WITH_DEVIATIONS)
    assert view.named == "2 deviations: step 9 and the whole procedure. Not valid after 2026-12-01."
    assert [d.place for d in view.departures] == ["Step 9", "The whole procedure"]


def test_a_step_that_is_written_out_elsewhere_is_named_by_that_number():
    step = "return-to-service/second-dry/otherwise/make-safe/stop-machine"
    (told,) = kw4.view(deviations=(replace(ONE, step=step),)).departures
    assert told.place == "Step 27.2"


def test_deviations_that_the_proof_does_not_need_are_on_every_page_too():
    view = kw4.view(deviations=(ONE,))
    assert view.trust is Trust.PROVEN
    assert view.mark == "WITH RECORDED DEVIATIONS"
    assert view.verdict.startswith("Proven: ")


def test_a_draft_stays_a_draft():
    assert kw4.view(deviations=(ONE,), draft=True).mark == "DRAFT — NOT PROVEN"


def test_without_deviations_there_is_no_section():
    outline = Outline(page(kw4.view(), {}))
    assert "deviations" not in [a.get("id") for _, a in outline.tags]
    assert "banner" not in [a.get("class") for _, a in outline.tags]


def test_lowered_rules_are_listed():
    assert "gives less weight" not in Outline(page(kw4.view(), {})).text
    text = Outline(page(kw4.view(lowered=("leak/no-duration", "wording/too-long")), {})).text
    assert "This library gives less weight to these rules" in text
    assert "leak/no-duration" in text
    assert "wording/too-long" in text
