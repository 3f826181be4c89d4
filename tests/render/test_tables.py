"""Tables as a manual shows them: numbers in columns, bands in words, when the work is due."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from proctool.api import open_library
from proctool.model.rows import Amount, Due, SafeSide, Way
from proctool.render.tables import due, number, sheets
from tests.render.sheets import change_point, psi, torque


def demo(procedure, unit):
    library = open_library(Path(__file__).parents[2] / "procedures")
    (case,) = library.cases(procedure=procedure, unit=unit)
    return case


def shown(table):
    (sheet,) = sheets([table], ())
    return sheet


def test_a_column_for_each_measure_and_for_the_true_value():
    grid = shown(change_point()).values
    assert [(head.title, head.measures) for head in grid.heads] == [
        ("Inlet gauge P1", ("bar", "psi", "true, bar")),
        ("Outlet (outlet gauge P2): due at this or less", ("bar", "psi", "true, bar")),
    ]
    assert grid.rows == (
        ("2.0", "29", "1.79 to 2.21", "1.9", "28", "1.69 to 2.11"),
        ("4.0", "58", "3.79 to 4.21", "3.4", "49", "3.19 to 3.61"),
    )
    assert grid.leads == {0}
    assert grid.caption == "Change both cartridges when the outlet reads this or less"


def test_a_gauge_of_unknown_error_has_no_true_value_and_is_said_to_be_unknown():
    sheet = shown(change_point(known=False, guard=False))
    assert [head.measures for head in sheet.values.heads] == [("bar", "psi"), ("bar", "psi")]
    assert sheet.errors[0] == (
        "How far off the inlet gauge P1 can be is not known: no reading of it is surely not due."
    )


def test_the_bands_are_rounded_so_that_the_work_is_called_sooner():
    bands = shown(change_point()).bands
    assert bands
    assert bands.caption == "What a reading of the outlet gauge P2 says"
    assert [head.title for head in bands.heads][1:] == ["Due", "Gauges cannot tell", "Soon", "Not due"]
    # The edges are 1.1325, 1.9 and 2.2675 bar.
    assert bands.rows[0] == ("2.0", "1.1 or less", "over 1.1 to 1.9", "over 1.9 to 2.3", "over 2.3")


def test_bands_of_or_more_are_turned_round():
    table = change_point(due=Due.OR_MORE)
    cell = table.rows[0].answers[0]
    assert cell.edges
    assert cell.edges.soon
    turned = replace(cell.edges, sure=cell.edges.soon, soon=cell.edges.sure)
    rows = (replace(table.rows[0], answers=(replace(cell, edges=turned),)),)
    bands = shown(replace(table, rows=rows)).bands
    assert bands
    assert bands.rows[0] == ("2.0", "2.3 or more", "under 2.3 to 1.9", "under 1.9 to 1.1", "under 1.1")


def test_what_is_off_the_scale_is_never_surely_due():
    table = change_point()
    cell = table.rows[0].answers[0]
    assert cell.edges
    below = replace(cell.edges, sure=Amount(cell.edges.sure.value - 2, "bar", "\N{MINUS SIGN}0.8675 bar"))
    rows = (replace(table.rows[0], answers=(replace(cell, edges=below),)),)
    bands = shown(replace(table, rows=rows)).bands
    assert bands
    assert bands.rows[0][1:3] == ("—", "1.9 or less")


def test_gauges_of_unknown_error_leave_all_past_the_limit_open():
    bands = shown(change_point(known=False)).bands
    assert bands
    assert bands.rows[0][1:] == ("1.1 or less", "over 1.1", "—", "—")


def test_every_band_is_explained_and_guard_and_errors_are_told():
    sheet = shown(change_point())
    assert [pair.label for pair in sheet.meanings] == ["Due", "Gauges cannot tell", "Soon", "Not due"]
    inlet, outlet, guard = sheet.errors
    assert inlet == (
        "Inlet gauge P1 can be off by up to 0.21 bar: its accuracy and half a division of its dial."
    )
    assert outlet.startswith("Outlet gauge P2 can be off by up to 0.21 bar")
    assert guard.startswith("Each limit is moved by as much as the gauges can be off together")
    assert shown(change_point(guard=False)).errors[-1].startswith("The limits are not moved")


def test_it_is_told_how_to_read_it():
    look_up, between = shown(change_point()).how
    assert look_up == (
        "Read the inlet gauge P1 and find the row of what you read. "
        "The work is due when the outlet gauge P2 reads the value of that row or less."
    )
    assert between == (
        "Where the inlet gauge P1 reads between two rows, take the row of the next higher reading."
    )
    assert shown(change_point()).condition == "Only while water runs at normal flow."


@pytest.mark.parametrize(
    ("way", "said"),
    [(Way.DOWN, "take the row of the next lower reading."), (None, "take the work as due.")],
)
def test_between_two_rows_the_safe_row_counts(way, said):
    assert shown(change_point(nearby=way)).how[1].endswith(said)


def test_a_table_that_says_no_due_date_has_no_bands():
    sheet = shown(torque())
    assert sheet.bands is None
    assert sheet.meanings == ()
    assert [(head.title, head.measures) for head in sheet.values.heads] == [
        ("Bolt size", ("mm",)),
        ("Torque", ("N·m",)),
        ("Torque: least to most", ("N·m",)),
    ]
    assert sheet.values.rows == (("8", "24", "22 to 26"), ("10", "30", "28 to 32"))
    assert sheet.how == (
        "Read “bolt size” and find the row of what you read: it gives “torque”.",
        "Keep “torque” between its least and its most.",
    )


@pytest.mark.parametrize(("side", "said"), [(SafeSide.LOW, "rounded down"), (SafeSide.HIGH, "rounded up")])
def test_the_safe_side_is_told(side, said):
    table = torque()
    column = replace(table.answers[0], safe_side=side)
    assert said in shown(replace(table, answers=(column,))).how[-1]


def test_due_names_the_table_by_its_title():
    table, weekly = due(("table change_point", "every 1 week"), [change_point()])
    assert (table.text, table.target) == (change_point().title, "table-change_point")
    assert table.how == shown(change_point()).how[0]
    assert (weekly.text, weekly.target) == ("Every 1 week", "")


def test_what_is_told_where_it_is_due_is_not_told_again():
    said = due(("table change_point",), [change_point()])
    (sheet,) = sheets([change_point()], said)
    assert sheet.how == shown(change_point()).how[1:]


def test_a_table_that_was_not_worked_out_is_said_to_be_missing():
    (said,) = due(("table change_point",), [])
    assert said.text == "By the table “change point”, which is not worked out for this unit."


def test_due_tables_stand_first():
    assert [s.anchor for s in sheets([torque(), change_point()], ())] == [
        "table-change_point",
        "table-torque",
    ]


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        (psi(29), "29"),
        (Amount(psi(2).value, "day", "2 days"), "2"),
        (Amount(psi(1).value, "day", "1 day"), "1"),
        (Amount(psi(3).value, "", "3"), "3"),
        (Amount(psi(3).value, "bar", "about 3.333 bar"), "about 3.333"),
    ],
)
def test_the_measure_stands_in_the_head_only(amount, said):
    assert number(amount) == said


def test_what_no_gauge_shows_has_no_true_value_and_is_said_to_be_taken_as_exact():
    (table,) = (table for table in demo("replace-desiccant", "AD-10").tables if table.name == "filling")
    sheet = shown(table)
    assert not any("true" in measure for head in sheet.values.heads for measure in head.measures)
    (said,) = sheet.errors
    assert said == (
        "“Empty height below the rim” is taken as exact: no gauge of the unit shows it, so nothing is known "
        "of its error."
    )


def test_a_gauge_beside_it_keeps_its_true_value():
    (table,) = (table for table in demo("replace-plate-gaskets", "HX-5").tables if table.name == "cooling")
    titles = {
        head.title
        for head in shown(table).values.heads
        if any(measure.startswith("true") for measure in head.measures)
    }
    assert titles == {"Hot thermometer T1 when you close the valves"}
    assert all(row.readings[0].true and row.answers[0].true is None for row in table.rows)
