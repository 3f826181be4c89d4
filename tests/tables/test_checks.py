"""The rules on tables: each finds its fault one edit away from a clean table, and nothing else."""

from __future__ import annotations

import pytest

from proctool.model.rows import TableFault
from proctool.tables.checks import CHECKS, faults, measures, unsafe_side
from tests.tables.make import BAR_GAUGE, SHOWS, outcome, table, unit

CLEAN = """\
while: water runs at normal flow
readings: {inlet: {gauge: before, rows: 2.0 to 6.0 bar by 0.5 bar}}
answer: {outlet: {is: inlet * (1 - limit), gauge: after, round: up to 0.1 bar}}
fixed: {limit: 25 %}
guard: true
due_when: {outlet: or_less}
"""


def found(text: str, first: str = BAR_GAUGE, second: str | None = None) -> tuple[TableFault, ...]:
    return faults(outcome(text, unit(first, second), SHOWS))


def edited(old: str, new: str, text: str = CLEAN) -> str:
    assert text.count(old) == 1
    return text.replace(old, new)


def test_the_clean_table_is_clean():
    assert found(CLEAN) == ()


@pytest.mark.parametrize(
    ("old", "new", "kind", "words", "line"),
    [
        ("up to", "down to", "tables/unsafe-side", "only rounding up never calls for it late", 4),
        ("up to", "nearest", "tables/unsafe-side", "is rounded to the nearest step", 4),
        ("or_less", "or_more", "tables/unsafe-side", "only rounding down never calls for it late", 4),
        ("0.1 bar}", "0.1 bar, safe_side: low}", "tables/unsafe-side", "contradicts its `due_when`", 4),
        (
            "guard: true",
            "guard: true\ntyped: [[4.0 bar, 3.0 bar]]",
            "tables/row-off",
            "late, by 0.3675 bar",
            7,
        ),
        ("2.0 to 6.0", "2.5 to 6.0", "tables/uncovered", "shows 2 bar to 6 bar; the rows go from 2.5", 3),
        ("2.0 to 6.0", "2.0 to 5.5", "tables/uncovered", "the rows go from 2 bar to 5.5 bar", 3),
        ("while: water runs at normal flow\n", "", "tables/no-while", "does not say under what condition", 1),
        ("up to 0.1 bar", "up to 0.05 bar", "tables/too-fine", "steps of 0.05 bar; outlet gauge P2 has", 4),
        ("by 0.5 bar", "by 0.05 bar", "tables/too-fine", "steps of 0.05 bar; inlet gauge P1 has", 3),
        ("limit: 25 %", "limit: 5 %", "tables/gauge-too-coarse", "from no difference at all", 4),
        ("limit: 25 %", "limit: 95 %", "tables/gauge-too-coarse", "no reading on outlet gauge P2 is", 4),
        ("guard: true", "guard: false", "tables/unguarded", "late by up to 0.3675 bar", 4),
    ],
)
def test_one_edit_gives_one_fault(old, new, kind, words, line):
    (fault,) = found(edited(old, new))
    assert (fault.kind, fault.span.line) == (kind, line)
    assert words in fault.message
    assert fault.help
    assert len(fault.message) < 200
    assert tuple(CHECKS[kind](outcome(edited(old, new), unit(), SHOWS))) == (fault,)


def test_what_the_unit_file_does_not_say_is_not_taken_as_good():
    (fault,) = found(CLEAN, BAR_GAUGE.replace(", usual: 2.0 to 6.0 bar", ""))
    assert fault.kind == "tables/uncovered"
    assert "Nothing says what inlet gauge P1 usually shows" in fault.message
    unknown = BAR_GAUGE.replace(", accuracy: 1.6 %", "")
    told = found(CLEAN, unknown)
    assert [(f.kind, f.span.line) for f in told] == [("file/quantity", 6)] * 2
    assert "`guard` needs the error of inlet gauge P1." in {f.message for f in told}
    (late,) = found(edited("guard: true\n", ""), unknown)
    assert late.kind == "tables/unguarded" and "unknown; `outlet` may be late by any amount" in late.message


def test_a_grade_that_is_divided_too_coarsely():
    """ASME B40.100: at most twice the error of the middle half; 2 % of 10 bar twice is 0.4 bar."""
    graded = "span: 10 bar, accuracy: grade B, division: 0.5 bar, usual: 2.0 to 6.0 bar"
    text = edited("limit: 25 %", "limit: 60 %", edited("0.1 bar", "0.5 bar"))
    told = [f.message for f in found(text, graded) if f.kind == "tables/gauge-too-coarse"]
    assert "Inlet gauge P1 has a mark every 0.5 bar; its grade asks for 0.4 bar or less." in told


def test_a_limit_that_rounding_alone_moves_far_enough_needs_no_guard():
    text = edited("guard: true\n", "", edited("up to 0.1 bar", "up to 10 bar"))
    assert "tables/unguarded" not in {f.kind for f in found(text)}


# -- answers that are no limits

WAIT = "answer: {wait: {is: 25 min, round: up to 10 min}}\nsafe_side: high\n"
TORQUE = (
    "answer: {torque: {is: 22.4 N·m, round: nearest 1 N·m, least: 20 N·m, most: 24 N·m}}\nsafe_side: inside\n"
)


@pytest.mark.parametrize("text", [WAIT, TORQUE])
def test_answers_on_their_safe_side_are_clean(text):
    assert found(text) == ()


@pytest.mark.parametrize(
    ("text", "old", "new", "words"),
    [
        (WAIT, "up to", "down to", "is rounded down, and its safe side is high"),
        (WAIT, "safe_side: high\n", "", "(25 min is shown as 30 min), and nothing says which way is safe"),
        (TORQUE, "most: 24 N·m", "most: 21.9 N·m", "is shown as 22 N·m, which is above its most of 21.9 N·m"),
        (
            TORQUE,
            "least: 20 N·m",
            "least: 22.3 N·m",
            "is shown as 22 N·m, which is below its least of 22.3 N·m",
        ),
        (TORQUE, "nearest 1 N·m", "nearest 1 N·m, also: 5 lbf·ft", "is shown as 15 lbf·ft"),
    ],
)
def test_answers_on_their_unsafe_side(text, old, new, words):
    changed = edited(old, new, text)
    if "also" in new:
        changed = changed.replace("least: 20 N·m", "least: 21 N·m")
    (fault,) = found(changed)
    assert fault.kind == "tables/unsafe-side" and words in fault.message


def test_what_rounding_does_not_change_needs_no_side():
    assert faults(outcome("answer: {wait: {is: 30 min, round: up to 10 min}}")) == ()


def test_inside_needs_its_band():
    (fault,) = found(TORQUE.replace(", most: 24 N·m", ""))
    assert (fault.kind, fault.message) == (
        "file/schema",
        "`safe_side: inside` needs `least` and `most` beside `is`.",
    )


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("[[40 min]]", "It errs to the high side, the safe side, by 15 min."),
        ("[[20 min]]", "It errs to the low side, the unsafe side, by 5 min."),
    ],
)
def test_which_side_a_typed_answer_errs_to(typed, words):
    (fault,) = found(WAIT + f"typed: {typed}\n")
    assert fault.kind == "tables/row-off" and words in fault.message


# -- what cannot be worked out comes out of the check of its own rule


@pytest.mark.parametrize(
    ("old", "new", "words", "line"),
    [
        ("inlet * (1 - limit)", "inlet - limit", "pressure and a bare number cannot be taken", 4),
        (
            "inlet * (1 - limit)",
            "1 - limit",
            "The formula gives a bare number; the column is told in `bar`",
            4,
        ),
        (
            "up to 0.1 bar",
            "up to 1 s",
            "The formula gives pressure; the column is told in `s`, which is time",
            4,
        ),
        ("2.0 to 6.0 bar by 0.5 bar", "2 to 6 s by 1 s", "The rows and inlet gauge P1 do not agree", 3),
        ("guard: true", "typed: [[4.0 s, 3.0 bar]]", "The typed value and `inlet` do not agree", 6),
        ("guard: true", "typed: [[4.0 bar, 3.0 s]]", "The typed value and `outlet` do not agree", 6),
        ("guard: true", "soon: 3 s", "`soon` and the answer `outlet` do not agree", 6),
    ],
)
def test_kinds_that_do_not_agree(old, new, words, line):
    made = outcome(edited(old, new), unit(), SHOWS)
    said = list(measures(made))
    assert [fault.span.line for fault in said] == [line]
    assert words in said[0].message
    assert list(unsafe_side(made)) == []


def test_a_column_that_no_dial_shows():
    text = edited("2.0 to 6.0 bar by 0.5 bar", "30 to 90 psi by 10 psi")
    bare = faults(outcome(text, unit()))
    assert [f.kind for f in bare if f.kind == "tables/measures"] == ["tables/measures"]
    (fault,) = [f for f in bare if f.kind == "tables/measures"]
    assert fault.message == "`inlet` is told in psi; inlet gauge P1 shows bar."
    assert [f for f in found(text) if f.kind == "tables/measures"] == []  # bar stands beside it there


def test_the_place_inside_a_formula_is_told():
    made = outcome(edited("1 - limit", "1 - limt"), unit())
    (fault,) = faults(made)
    assert (fault.kind, fault.span.line) == ("graph/unknown-name", 4)
    assert fault.message == (
        "At character 14, `limt`: `limt` is no name that is known here. Did you mean `limit`?"
    )
    line = "  " + edited("1 - limit", "1 - limt").splitlines()[2]
    assert line[fault.span.column - 1 : fault.span.end_column - 1] == "limt"


def test_the_row_at_which_a_formula_gives_nothing_is_told_once():
    text = edited("inlet * (1 - limit)", "1 bar * 1 bar / (inlet - 3 bar)")
    told = faults(outcome(text, unit()))
    assert [f.kind for f in told] == ["file/quantity"]
    assert "divide" in told[0].message and "at inlet " in told[0].message


def test_a_clean_table_in_the_other_direction():
    made = table(
        "while: the fan runs\nreadings: {flow: {rows: 1 to 2 m/s by 1 m/s}}\n"
        "answer: {drop: {is: flow / 1 m/s * 1 bar, gauge: after, round: down to 0.1 bar}}\n"
        "guard: true\ndue_when: {drop: or_more}\n",
        unit(),
    )
    assert faults(made) == ()
    cell = made.rows[0].answers[0]
    assert (cell.value.text, cell.moved.text, cell.shown.text) == ("1.0 bar", "0.79 bar", "0.7 bar")


@pytest.mark.parametrize(
    ("typed", "words"), [("5.1 bar", "late, by 0.1 bar"), ("4.9 bar", "early, by 0.1 bar")]
)
def test_a_limit_from_below_is_late_when_it_is_typed_too_high(typed, words):
    made = outcome(
        "answer: {a: {is: 5 bar, round: down to 0.1 bar}}\n"
        f"while: the fan runs\ndue_when: {{a: or_more}}\ntyped: [[{typed}]]\n"
    )
    (fault,) = faults(made)
    assert fault.kind == "tables/row-off" and words in fault.message


def test_the_side_of_the_table_is_not_that_of_its_limits():
    made = outcome(
        "answer:\n  limit: {is: 5.05 bar, round: up to 0.1 bar}\n"
        "  amount: {is: 5.05 bar, round: down to 0.1 bar}\n"
        "while: the fan runs\nsafe_side: low\ndue_when: {limit: or_less}\n"
    )
    assert faults(made) == ()
