"""State band, step graph and table plot: all that is there is drawn and told, and no text meets anything."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from proctool.model.plan import BackTo
from proctool.model.rows import Due, Way
from proctool.render.layout import lay_out
from proctool.render.pictures.picture import PAGE, PHONE, Group, Path, Rect, every
from proctool.render.pictures.plot import table_plots
from proctool.render.pictures.state_band import state_band
from proctool.render.pictures.step_graph import step_graph
from tests.render import kw4, sheets
from tests.render.pictures import made, seen

WIDTHS = pytest.mark.parametrize("width", [PAGE, PHONE])


def groups(picture, name):
    return [mark for mark in every(picture.marks) if isinstance(mark, Group) and mark.name == name]


# The state band


@WIDTHS
@pytest.mark.parametrize(("seed", "count"), [(1, 1), (2, 20), (3, 60), (4, 300)])
def test_a_band_of_any_length_is_whole_and_readable(seed, count, width):
    plan = made.plan(seed, count)
    picture = state_band(plan, made.proof(plan, seed), width=width)
    assert seen.faults(picture) == []
    texts = [label.text for label in seen.labels(picture)]
    assert [text for text in texts if text.isdigit()] == [str(n + 1) for n in range(count)]


def test_the_runs_of_a_band_are_the_charges_of_the_proof():
    plan = made.plan(5, 90)
    proof = made.proof(plan, 5)
    told: dict[tuple[str, str, int], str] = {}
    for run in groups(state_band(plan, proof, width=PHONE), "run"):
        data = dict(run.data)
        first, last = map(int, data["steps"].split("-"))
        for step in range(first, last + 1):
            for part in data["parts"].split():
                told[part, data["energy"], step] = data["state"]
    order = lay_out(plan.frame, plan.unit.parts).order
    wanted = {}
    for number, place in enumerate(order, 1):
        worst = proof.worst.get(plan.frame.steps[place].id, {})
        for part, energy in (("first", "water"), ("second", "water"), ("motor", "water"), ("motor", "mains")):
            wanted[part, energy, number] = worst[part, energy].value if worst else ""
    assert told == wanted


def test_parts_alike_share_a_row_and_each_row_is_told():
    plan = kw4.plan()
    picture = state_band(plan, kw4.proof(plan))
    assert [":".join(entry.split(":")[:2]) for entry in picture.entries] == [
        "Water: sediment housing",
        "Water: carbon housing and booster pump",
        "Mains: booster pump",
    ]
    assert "opened in step 9" in picture.entries[0]
    assert "live after steps 1, 2 and 24 to 34" in picture.entries[0]


def test_charges_differ_in_height_and_hatching_not_in_colour_alone():
    plan = kw4.plan()
    looks: dict[str, set] = {}
    for run in groups(state_band(plan, kw4.proof(plan)), "run"):
        rects = [mark for mark in run.marks if isinstance(mark, Rect)]
        hatched = any(isinstance(mark, Path) for mark in run.marks)
        looks.setdefault(dict(run.data)["state"], set()).add((rects[0].height, hatched))
    assert looks == {"live": {(12.0, False)}, "trapped": {(6.0, True)}, "zero": {(2, False)}}


def test_a_band_that_is_no_proof_says_so():
    plan = kw4.plan()
    assert "not a proof" not in state_band(plan, kw4.proof(plan)).told
    assert "not a proof" in state_band(plan, replace(kw4.proof(plan), explored=False)).told


# The step graph


@WIDTHS
@pytest.mark.parametrize(("seed", "count"), [(1, 1), (2, 8), (3, 25), (4, 60), (5, 60), (6, 300)])
def test_a_graph_of_any_size_is_whole_and_readable(seed, count, width):
    plan = made.plan(seed, count)
    picture = step_graph(plan, width=width)
    assert seen.faults(picture) == []
    drawn = [step for node in groups(picture, "steps") for step in dict(node.data)["steps"].split()]
    assert sorted(drawn) == sorted(step.id for step in plan.frame.steps)
    numbers = [int(entry.split(":")[0]) for entry in picture.entries]
    assert numbers == list(range(1, count + 1))


@WIDTHS
@pytest.mark.parametrize("seed", range(6))
def test_every_check_that_leads_back_has_a_line_to_where_it_leads(seed, width):
    plan = made.plan(seed, 40)
    steps = plan.frame.steps
    wanted = {
        step.otherwise.ending.target
        for step in steps
        if step.otherwise and isinstance(step.otherwise.ending, BackTo)
    }
    assert wanted
    assert {dict(line.data)["to"] for line in groups(step_graph(plan, width=width), "back")} == wanted


def test_free_tracks_share_a_frame_and_what_is_gone_back_to_is_the_whole_frame():
    picture = step_graph(kw4.plan())
    texts = [label.text for label in seen.labels(picture)]
    assert "in any order" in texts
    assert [text for text in texts if text.startswith("Steps")] == [
        "Steps 1 to 8",
        "Steps 9 to 14",
        "Steps 15 to 20",
        "Steps 21 to 34",
    ]
    nine, fifteen = (node.marks[0] for node in groups(picture, "steps")[1:3])
    assert nine.y == fifteen.y and nine.x + nine.width < fifteen.x
    frame = next(mark for mark in picture.marks if isinstance(mark, Rect) and mark.paint == "frame")
    (back,) = groups(picture, "back")
    _, level, arrives, _ = seen.segments(back.marks[0].data)[0]
    assert arrives == pytest.approx(frame.x + frame.width + 1)
    assert frame.y < level < frame.y + frame.height


def test_each_step_tells_what_it_is_free_of_and_where_it_leads():
    entries = step_graph(kw4.plan()).entries
    assert entries[8].endswith("Before or after steps 15 to 20.")
    assert "Not OK: 8 steps more, back to 9, at most 2 times, then stop." in entries[26]
    assert entries[0] == "1: Tell the line supervisor that the unit stops."


def test_the_texts_of_steps_are_plain():
    assert not any("*" in entry for entry in step_graph(made.plan(2, 8)).entries)


# The table plot


@WIDTHS
@pytest.mark.parametrize("rows", [1, 2, 9, 200])
@pytest.mark.parametrize("nearby", [Way.UP, Way.DOWN, None])
@pytest.mark.parametrize("due", list(Due))
@pytest.mark.parametrize("known", [True, False])
def test_a_plot_of_any_table_is_whole_and_readable(rows, nearby, due, known, width):
    table = made.table(rows, due=due, nearby=nearby, known=known)
    (picture,) = table_plots(table, width=width)
    assert seen.faults(picture) == []
    assert len(picture.entries) == rows
    assert all(
        f"{row.readings[0].shown}" in entry for row, entry in zip(table.rows, picture.entries, strict=True)
    )


@pytest.mark.parametrize("nearby", [Way.UP, Way.DOWN, None])
@pytest.mark.parametrize("rows", [2, 9])
def test_columns_fill_the_plot_so_that_paper_never_looks_like_a_band(rows, nearby):
    (picture,) = table_plots(made.table(rows, nearby=nearby))
    columns = [
        [mark for mark in group.marks if isinstance(mark, Rect)] for group in groups(picture, "column")
    ]
    frame = next(
        m for m in every(picture.marks) if isinstance(m, Rect) and m.paint == "stroke-soft" and m.height > 100
    )
    assert columns[0][0].x == pytest.approx(frame.x)
    for left, right in pairwise(columns):
        assert left[0].x + left[0].width == pytest.approx(right[0].x)
    assert columns[-1][0].x + columns[-1][0].width == pytest.approx(frame.x + frame.width)
    for column in columns:
        assert sum(band.height for band in column) == pytest.approx(frame.height, abs=0.2)


def bands(picture):
    """The paints of each column from below, with their heights."""
    found = []
    for group in groups(picture, "column"):
        rects = [mark for mark in group.marks if isinstance(mark, Rect)]
        found.append([r.paint for r in sorted(rects, key=lambda r: -r.y)])
    return found


def test_bands_stand_in_the_order_of_the_table():
    assert bands(table_plots(sheets.change_point())[0])[0] == ["due", "unsure", "soon", "clear"]
    more = bands(table_plots(made.table(4, due=Due.OR_MORE))[0])
    assert all(column == ["clear", "soon", "unsure", "due"] for column in more)


def test_unknown_errors_leave_nothing_not_due():
    assert {paint for c in bands(table_plots(made.table(6, known=False))[0]) for paint in c} == {
        "due",
        "unsure",
    }


def test_between_two_rows_of_which_none_counts_the_work_is_due():
    assert bands(table_plots(sheets.change_point(nearby=None))[0])[1] == ["due"]


def test_where_a_column_ends_follows_the_row_that_counts():
    def width_of(nearby):
        (picture,) = table_plots(made.table(3, nearby=nearby))
        return [next(m for m in g.marks if isinstance(m, Rect)).width for g in groups(picture, "column")]

    first, *rest = width_of(Way.UP)
    assert all(wide == pytest.approx(4 * first) for wide in rest)
    *rest, last = width_of(Way.DOWN)
    assert all(wide == pytest.approx(4 * last) for wide in rest)


def test_a_table_without_due_answers_has_no_plot():
    assert table_plots(sheets.torque()) == ()


def test_the_words_of_the_bands_stand_under_the_plot_and_in_every_row():
    (picture,) = table_plots(sheets.change_point())
    texts = {label.text for label in seen.labels(picture)}
    assert {"Due", "Gauges cannot tell", "Soon", "Not due"} <= texts
    assert picture.entries[0] == (
        "Inlet gauge P1 2.0 bar: due 1.1 or less; gauges cannot tell over 1.1 to 1.9; soon over 1.9 to 2.3; "
        "not due over 2.3 (bar)."
    )
    assert re.search("filled.*crossed.*hatched.*empty", picture.told)
