"""Columns of a terminal: wide signs, marks, long words, and signs that would steer it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.report.columns import around, columns, harmless, padded, wrapped


@pytest.mark.parametrize(
    ("text", "wide"),
    [
        ("", 0),
        ("valve", 5),
        ("Größe", 5),
        ("Gro\N{COMBINING DIAERESIS}ße", 5),
        ("工場", 4),
        ("ﾊﾞﾙﾌﾞ", 5),
        ("✅", 2),
        ("a\N{ZERO WIDTH SPACE}b", 2),
    ],
)
def test_columns(text, wide):
    assert columns(text) == wide
    assert columns(padded(text, 10)) == 10


def test_what_steers_a_terminal_is_taken_out():
    assert harmless("a\x1b[31mb\tc\nd\u202ee") == "a\ufffd[31mb c d\ufffde"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", []),
        ("  one\n two  ", ["one two"]),
        ("one two three four", ["one two", "three four"]),
        ("a-long-word-that-stays-whole x", ["a-long-word-that-stays-whole", "x"]),
        ("弁を閉じて鍵をかける", ["弁を閉じて", "鍵をかける"]),
        ("弁 V1 を閉じる", ["弁 V1 を閉", "じる"]),
    ],
)
def test_wrapped_to_ten_columns(text, lines):
    assert wrapped(text, 10) == lines


@given(st.text(), st.integers(2, 90))
def test_nothing_is_lost_and_lines_fit_unless_they_are_one_word(text, width):
    lines = wrapped(text, width)
    assert "".join("".join(lines).split()) == "".join(harmless(text).split())
    assert all(columns(line) <= width or " " not in line for line in lines)


@pytest.mark.parametrize(
    ("line", "place", "shown"),
    [
        ("    open: frist", 10, ("open: frist", 6)),
        ("open: frist  # " + "x" * 40, 6, ("open: frist  # xxxx…", 6)),
        ("  - {role: isolator, device: valve, nam: inlet}", 36, ("…alve, nam: inlet}", 7)),
        ("工場の弁を閉じて鍵をかける", 8, ("…閉じて鍵をかける", 7)),
        ("      ", 3, ("", 0)),
        ("short", 40, ("short", 5)),
    ],
)
def test_a_line_around_a_place_in_twenty_columns(line, place, shown):
    assert around(line, place, 20) == shown


@given(st.text(), st.integers(0, 200), st.integers(8, 90))
def test_a_line_fits_with_its_place(line, place, width):
    text, before = around(line, place, width)
    assert columns(text) <= width and before <= columns(text)
