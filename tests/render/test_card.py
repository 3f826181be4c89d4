"""The lockout card: locks counted, what else stops, who is told, on one sheet."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from proctool.model.plan import Act, Continue, Otherwise
from proctool.render.html import Paper
from proctool.render.pdf import card_pdf, tables_pdf
from tests.render import kw4, sheets


def text(content: bytes) -> str:
    return " ".join(" ".join(sheet.extract_text().split()) for sheet in PdfReader(io.BytesIO(content)).pages)


def test_every_lock_point_has_its_place_and_its_lock():
    points = kw4.view().card.points
    assert [(p.number, p.isolator, p.off, p.place) for p in points] == [
        ("1", "Inlet valve V1", "closed", "left of the pump"),
        ("2", "Pump plug X1", "unplugged", "behind the frame"),
    ]
    assert points[0].cuts == "Water (liquid under pressure) 4.0 bar"
    assert points[1].lock == "in its cover, closed with your own lock and tag"


@pytest.mark.parametrize(
    ("people", "locks", "said"),
    [
        (1, "", "2 locks and as many tags for each person who works here."),
        (3, "each", "2 locks and as many tags for each person who works here, 6 of each for 3 people."),
        (
            3,
            "A. Example",
            "2 locks and tags of the group, and 3 personal locks on the group lock, one of each.",
        ),
    ],
)
def test_locks_are_counted(people, locks, said):
    plan = kw4.with_facts(kw4.plan(), people=("technician",) * people, locks=locks)
    assert kw4.view(plan).card.count == f"2 lock points: {said}"


def test_an_isolator_without_a_lock_gets_no_number():
    off = kw4.chain(kw4.do("off", "Close it.", Act("isolate", "inlet_valve", kw4.AT)))
    made = kw4.view(replace(kw4.plan(), frame=off, opens=()))
    assert [(p.number, p.lock) for p in made.card.points] == [("", "NOT LOCKED in this procedure")]
    assert made.card.count == "No lock is put on in this procedure."


def test_a_lock_that_only_a_failed_check_needs_is_counted():
    acts = Act("isolate", "pump_plug", kw4.AT), Act("lock", "pump_plug", kw4.AT)
    more = kw4.chain(kw4.do("look/otherwise/off", "Pull it.", *acts))
    look = kw4.check("look", "It is dry.", otherwise=Otherwise(more, Continue()))
    valve = kw4.do(
        "off", "Close it.", Act("isolate", "inlet_valve", kw4.AT), Act("lock", "inlet_valve", kw4.AT)
    )
    made = kw4.view(replace(kw4.plan(), frame=kw4.chain(valve, look), opens=()))
    assert made.card.count.startswith("2 lock points: 2 locks")
    assert made.card.points[1].isolator == "Pump plug X1"
    assert made.card.points[1].lock.endswith("only once a check has failed")


def test_what_else_loses_its_supply_and_who_is_told():
    made = kw4.view()
    assert made.card.lost == ("Water: filtered-water line.", "Mains: booster pump.")
    assert made.card.told == ("Supervisor, at steps 1 and 34.",)


def test_what_is_worked_on_is_nothing_else():
    plan = replace(kw4.plan(), opens=("first", "second", "motor"))
    assert kw4.view(plan).card.lost == ("Water: filtered-water line.",)


def test_a_sites_own_isolator_asks_what_else_it_feeds():
    plan = kw4.plan()
    valve = replace(plan.unit.parts["inlet_valve"], site=True)
    plan = replace(plan, unit=replace(plan.unit, parts={**plan.unit.parts, "inlet_valve": valve}))
    assert kw4.view(plan).card.lost[-1].startswith("Inlet valve V1 belongs to the site: ask")


def test_it_stands_on_one_sheet():
    content = card_pdf(kw4.view())
    assert len(PdfReader(io.BytesIO(content)).pages) == 1
    said = text(content)
    for part in (
        "Lockout card: Change the sediment and carbon cartridges",
        "not a permit to work",
        "Lock number",
        "Lock on: date, time",
        "Lock off: date, time",
        "In an emergency call",
        "Water is live at the water main, up to the inlet valve V1.",
        "change-cartridges/KW-4 · Revision 1 of 2026-05-11",
        "Page 1 of 1",
    ):
        assert part in said


def test_many_lock_points_still_stand_on_one_sheet():
    plan = kw4.plan()
    role = plan.unit.parts["inlet_valve"].role
    more = {
        f"v{n}": kw4.part(f"v{n}", role, "valve of the long branch", {"place": "above"}, tag=f"V{n}")
        for n in range(20, 32)
    }
    off = kw4.chain(
        *(kw4.do(n, "Close and lock it.", Act("isolate", n, kw4.AT), Act("lock", n, kw4.AT)) for n in more)
    )
    plan = replace(
        plan, unit=replace(plan.unit, parts={**plan.unit.parts, **more}), frame=kw4.after(off, plan.frame)
    )
    content = card_pdf(kw4.view(plan))
    assert len(PdfReader(io.BytesIO(content)).pages) == 1
    assert "14 lock points" in text(content)
    assert "V31" in text(content)


def test_a_draft_says_so():
    assert "DRAFT — NOT PROVEN" in text(card_pdf(kw4.view(draft=True)))


def test_each_table_has_a_sheet_of_its_own():
    content = tables_pdf(kw4.view(tables=(sheets.change_point(), sheets.torque())))
    pages = [" ".join(sheet.extract_text().split()) for sheet in PdfReader(io.BytesIO(content)).pages]
    (first,) = [
        n for n, page in enumerate(pages) if "Change both cartridges when" in page and "3.19 to 3.61" in page
    ]
    (second,) = [n for n, page in enumerate(pages) if "Torque of the cover" in page]
    assert first < second
    assert all("KW-4" in page for page in pages)


@pytest.mark.parametrize(("paper", "height"), [(Paper.A4, 841.89), (Paper.LETTER, 792)])
def test_the_sheet_is_as_large_as_asked(paper, height):
    for content in (card_pdf(kw4.view(), paper), tables_pdf(kw4.view(tables=(sheets.torque(),)), paper)):
        for sheet in PdfReader(io.BytesIO(content)).pages:
            assert float(sheet.mediabox.height) == pytest.approx(height, abs=0.1)
