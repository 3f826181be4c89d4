"""The record sheet holds what this procedure asks to be written down, in its order, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proctool.model.plan import StepKind
from proctool.model.words import Role
from proctool.render import zeros
from proctool.render.grid import Pair
from proctool.render.item import Blank, Scale
from proctool.render.manual import Entry
from tests.render import kw4
from tests.render.look import step

CHOICE = Blank("Found", choices=("zero", "not zero"))
SHOWS = {"pressure": ("bar", "psi"), "temperature": ("°C", "°F")}


@pytest.fixture(scope="module")
def record():
    return kw4.view(kw4.with_facts(kw4.plan(), shows=SHOWS)).record


def test_readings_stand_in_order_with_their_limits(record):
    zero = (Blank("Found", "bar", (Scale("bar", "0", "0"), Scale("psi", "0", "0"))),)
    usual = (Blank("Reading", "bar", (Scale("bar", "1.0", "6.0"), Scale("psi", "14.6", "87.0"))),)
    assert record.readings == (
        Entry("7", "inlet gauge P1 for the sediment housing", "0 bar (0 psi)", zero),
        Entry("8", "outlet gauge P2 for the carbon housing", "0 bar (0 psi)", zero),
        Entry("33", "outlet gauge P2", "1.0 to 6.0 bar (14.6 to 87.0 psi)", usual),
    )


def test_leak_checks_holds_and_supplies(record):
    assert [(e.number, e.must) for e in record.leaks] == [("27", "2 min"), ("28", "2 min")]
    assert [(e.number, e.what) for e in record.holds] == [("30", "the line supervisor")]
    assert record.fitted == ("5 micron sediment cartridge", "carbon block cartridge", "housing O-ring FM-204")
    assert record.people == ("1 service technician with lockout training",)
    assert record.failures


@pytest.mark.parametrize(
    ("safe", "within"),
    [
        ("0 bar", "0 bar"),
        ("0.2 bar", "0 bar to 0.2 bar"),  # below nothing a gauge is out of order
        ("50 V", "0 V to 50 V"),
        ("-0.1 bar", "-0.1 bar to 0 bar"),  # a vacuum
        ("40 °C", "40 °C or less"),
        ("no pressure", "no pressure"),
    ],
)
def test_a_gauge_shows_zero_between_nothing_and_what_is_safe(safe, within):
    assert zeros.reads_zero(safe) == within


def test_a_reading_that_ends_a_wait_is_recorded():
    wait = kw4.do(
        "w", "Wait.", kind=StepKind.WAIT, lasts="40 min", gauge="outlet_gauge", limits="40 °C or less"
    )
    plan = kw4.with_facts(replace(kw4.plan(), frame=kw4.chain(wait), opens=()), shows=SHOWS)
    assert kw4.view(plan).record.readings == (
        Entry(
            "1",
            "outlet gauge P2",
            "40 °C or less (104 °F or less)",
            (Blank("Reading", "°C", (Scale("°C", "", "40"), Scale("°F", "", "104"))),),
        ),
    )


def test_a_vent_shows_zero_or_not():
    unit = kw4.unit()
    seen = kw4.check("v", "No water comes out.", kw4.act("verify_zero", "first", "first_button"))
    plan = replace(kw4.plan(), unit=unit, frame=kw4.chain(seen), opens=())
    assert unit.parts["first_button"].role is Role.VENT
    (entry,) = kw4.view(plan).record.readings
    assert (entry.must, entry.blanks) == ("no more flow", (CHOICE,))


def test_a_lamp_shows_zero_or_not():
    unit = kw4.unit()
    lamp = kw4.part("lamp", Role.GAUGE, "supply lamp", at="motor", energy="mains")
    dark = kw4.check("d", "The lamp is dark.", kw4.act("verify_zero", "motor", "lamp"))
    unit = replace(unit, parts={**unit.parts, "lamp": lamp})
    plan = replace(kw4.plan(), unit=unit, frame=kw4.chain(dark), opens=())
    assert kw4.view(plan).record.readings == (
        Entry("1", "supply lamp for the booster pump", "no mains", (CHOICE,)),
    )


def test_what_a_procedure_lacks_is_not_on_its_sheet():
    plan = replace(kw4.plan(), frame=kw4.chain(kw4.do("a", "Do it.")), opens=())
    record = kw4.view(kw4.with_facts(plan, supplies=(), people=())).record
    assert (record.readings, record.leaks, record.holds, record.fitted) == ((), (), (), ())
    assert not record.failures
    assert record.people == ("Done by",)


def test_one_device_for_two_parts_is_one_line():
    both = kw4.check(
        "b",
        "Nothing comes out, and the gauge stands at zero.",
        kw4.act("verify_zero", "first", "inlet_gauge"),
        kw4.act("verify_zero", "second", "inlet_gauge"),
        kw4.act("verify_zero", "second", "second_button"),
    )
    view = kw4.view(replace(kw4.plan(), frame=kw4.chain(both), opens=()))
    zero = Blank("Found at inlet gauge P1", "bar", (Scale("bar", "0", "0"),))
    seen = Blank("Found at carbon relief button V5", choices=("zero", "not zero"))
    assert view.record.readings == (
        Entry("1", "inlet gauge P1 for the sediment housing and carbon housing", "0 bar", (zero,)),
        Entry("1", "carbon relief button V5 for the carbon housing", "no more flow", (seen,)),
    )
    item = step(view, "1")
    assert item.blanks == (zero, seen)
    assert item.facts == (Pair("Must be", "0 bar on inlet gauge P1"),)


@pytest.mark.parametrize("safe", ["no pressure", ""])
def test_what_has_no_safe_value_in_numbers_is_chosen(safe):
    unit = kw4.unit()
    water = replace(unit.energies["water"], safe=safe)
    plan = replace(kw4.plan(), unit=replace(unit, energies={**unit.energies, "water": water}))
    assert step(kw4.view(plan), "7").blanks == (CHOICE,)
