"""The change point of cartridges as service tables have it, and the table of the demo's booster skid.

Common practice, no source: cartridges are changed when the outlet reads 30 % below the inlet at flow.
"""

import math
from fractions import Fraction
from pathlib import Path

import pytest

from proctool.api import open_library
from proctool.model.rows import Band, Table, Way
from proctool.tables import due_answer
from proctool.tables.checks import faults, row_off
from tests.tables.make import faults as told
from tests.tables.make import quantity, table, unit

PSI_GAUGE = "span: 100 psi, division: 1 psi, usual: 65 to 75 psi"
RULE_OF_THUMB = """\
while: water runs at normal flow
readings: {inlet: {gauge: before}}
answer: {outlet: {is: inlet * (1 - limit), gauge: after, round: up to 1 psi}}
fixed: {limit: 30 %}
due_when: {outlet: or_less}
typed: [[70 psi, 49 psi], [75 psi, 53 psi], [65 psi, 45 psi]]
"""


def test_the_rule_of_thumb_is_rounded_to_the_side_that_acts_sooner():
    made = table(RULE_OF_THUMB, unit(PSI_GAUGE))
    assert [(r.readings[0].shown.text, r.answers[0].shown.text) for r in made.rows] == [
        ("70 psi", "49 psi"),
        ("75 psi", "53 psi"),
        ("65 psi", "46 psi"),
    ]
    assert [row.answers[0].value.value for row in made.rows] == [49, Fraction("52.5"), Fraction("45.5")]


def test_only_the_typed_pair_that_errs_is_told_against_the_exact_limit():
    (fault,) = row_off(table(RULE_OF_THUMB, unit(PSI_GAUGE)))
    assert fault.kind == "tables/row-off"
    assert fault.message == (
        "At 65 psi: `45 psi` is typed; the formula gives 45.5 psi, rounded 46 psi. "
        "It calls for the work late, by 0.5 psi."
    )
    assert fault.help == "Write `46 psi`."
    lines = RULE_OF_THUMB.splitlines()
    line = next(n for n, text in enumerate(lines) if "typed" in text)
    # The helper puts the table under a name, indented by two.
    assert (fault.span.line, fault.span.column) == (line + 2, lines[line].index("45 psi") + 3)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("47 psi", "calls for the work early, by 1.5 psi"),
        ("45 psi", "calls for the work late, by 0.5 psi"),
        ("45.5 psi", "It is not rounded."),
        ("3.1 bar", "calls for the work late, by about 0.03711 bar"),
    ],
)
def test_which_way_a_typed_row_errs(typed, words):
    text = RULE_OF_THUMB.replace("[65 psi, 45 psi]", f"[65 psi, {typed}]")
    (fault,) = row_off(table(text, unit(PSI_GAUGE)))
    assert words in fault.message


def test_a_typed_row_in_another_measure_is_held_against_what_is_shown_in_it():
    """70 psi less 30 % is 3.378... bar, shown as 3.4 bar; 65 psi is 3.137... bar, shown as 3.2 bar."""
    text = RULE_OF_THUMB.replace("49 psi", "3.4 bar").replace("45 psi", "3.1 bar")
    (fault,) = row_off(table(text.replace("1 psi}", "1 psi, also: 0.1 bar}"), unit(PSI_GAUGE)))
    assert "`3.1 bar` is typed" in fault.message and "rounded 3.2 bar" in fault.message


# -- the demo library's own skid

CHANGE_POINT = """\
title: Change both cartridges when the outlet gauge reads this or less
while: water runs at normal flow
readings: {inlet: {gauge: inlet_gauge, rows: 2.0 to 6.0 bar by 0.5 bar}}
answer: {outlet: {is: inlet * (1 - limit), gauge: outlet_gauge, round: up to 0.1 bar}}
fixed: {limit: 25 %}
guard: true
due_when: {outlet: or_less}
"""


@pytest.fixture(scope="module")
def change_point() -> Table:
    library = open_library(Path(__file__).parents[2] / "procedures")
    assert library.file is not None
    return table(CHANGE_POINT, library.units.whole["KW-4"], library.file.shows)


def test_the_change_point_of_the_skid(change_point):
    """Each gauge: 1.6 % of 10 bar and half a mark of 0.1 bar, 0.21 bar; together 0.21 * 0.75 + 0.21."""
    assert faults(change_point) == ()
    assert change_point.exact
    for row in change_point.rows:
        inlet, cell = row.readings[0].shown.value, row.answers[0]
        assert cell.value.value == inlet * Fraction(3, 4)
        assert cell.moved.value == inlet * Fraction(3, 4) + Fraction("0.3675")
        assert cell.shown.value == Fraction(math.ceil(cell.moved.value * 10), 10)
    assert [row.readings[0].shown.text for row in change_point.rows] == [
        f"{n / 2:.1f} bar" for n in range(4, 13)
    ]
    assert [row.answers[0].shown.text.removesuffix(" bar") for row in change_point.rows] == [
        *("1.9", "2.3", "2.7", "3.0", "3.4", "3.8", "4.2", "4.5", "4.9")
    ]


def test_what_a_row_of_the_skid_leaves_open(change_point):
    row = next(r for r in change_point.rows if r.readings[0].shown.value == 4)
    inlet, outlet = row.readings[0], row.answers[0]
    assert (inlet.true.low.text, inlet.true.high.text) == ("3.79 bar", "4.21 bar")
    assert (outlet.true.low.text, outlet.true.high.text) == ("3.19 bar", "3.61 bar")
    assert (outlet.limit.low.value, outlet.limit.high.value) == (Fraction("2.8425"), Fraction("3.1575"))
    assert (outlet.limit.low.text, outlet.limit.high.text) == ("2.84 bar", "3.16 bar")
    assert (outlet.edges.sure.value, outlet.edges.open.value, outlet.edges.soon.value) == (
        *(Fraction("2.6325"), Fraction("3.4"), Fraction("3.7675")),
    )


def test_the_second_measure_is_safe_too(change_point):
    """58 psi is below 4.0 bar, so the row of 4.0 bar may be used; its limit of 49 psi is above 48.84."""
    row = next(r for r in change_point.rows if r.readings[0].shown.value == 4)
    assert [amount.text for amount in row.readings[0].also] == ["58 psi"]
    assert [amount.text for amount in row.answers[0].also] == ["49 psi"]
    assert change_point.answers[0].nearby == (Way.UP,)


@pytest.mark.parametrize(
    ("outlet", "band"),
    [
        ("0.5 bar", Band.DUE),
        ("2.6325 bar", Band.DUE),
        ("2.6326 bar", Band.CANNOT_TELL),
        ("3.4 bar", Band.CANNOT_TELL),
        ("3.4001 bar", Band.SOON),
        ("3.7675 bar", Band.SOON),
        ("3.7676 bar", Band.NOT_DUE),
        ("10 bar", Band.NOT_DUE),
        ("10.1 bar", Band.CANNOT_TELL),
        ("55 psi", Band.NOT_DUE),
    ],
)
def test_the_live_answer(change_point, outlet, band):
    assert due_answer(change_point, {"inlet": quantity("4.0 bar"), "outlet": quantity(outlet)}) is band


def test_no_reading_that_the_printed_table_calls_for_is_told_as_not_due(change_point):
    for row in change_point.rows:
        at = {"inlet": quantity(row.readings[0].shown.text), "outlet": quantity(row.answers[0].shown.text)}
        assert due_answer(change_point, at) in {Band.DUE, Band.CANNOT_TELL}


def test_a_table_for_another_unit_names_the_gauge_it_lacks():
    text = CHANGE_POINT.replace("inlet_gauge", "befor").replace("outlet_gauge", "after")
    (fault,) = told(text)
    assert (fault.kind, fault.message) == (
        "graph/unknown-name",
        "`befor` is no gauge of unit T. Did you mean `before`?",
    )
