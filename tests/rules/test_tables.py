"""The tables pack held against a figure from outside, through the whole tool.

Common practice, no source: a cartridge is changed when the gauge behind it reads 30 % less than the one
before it. At 65 psi that is 45.5 psi, so a table that prints 45 psi calls for the work late; 70 and 75 psi
give 49 and 52.5 psi, and 49 and 53 psi are right.
"""

import pytest

from proctool.model.finding import Level
from tests.rules import example

TABLE = """\
due: [{table: change_point}]
tables:
  change_point:
    while: water runs at normal flow
    readings: {before: {}}
    answer: {behind: {is: before * (1 - drop), round: up to 1 psi}}
    fixed: {drop: 30 %}
    due_when: {behind: or_less}
    typed: [[TYPED]]
"""


def found(typed):
    return example.check(example.on_page(TABLE.replace("TYPED", typed))).findings


def test_the_rounded_down_row_is_told_with_how_late_it_is():
    (finding,) = found("65 psi, 45 psi")
    assert (finding.rule, finding.level) == ("tables/row-off", Level.ERROR)
    assert (finding.procedure, finding.unit, finding.file) == ("example", "EX-1", "procedure.yaml")
    assert finding.message == (
        "At 65 psi: `45 psi` is typed; the formula gives 45.5 psi, rounded 46 psi. "
        "It calls for the work late, by 0.5 psi."
    )
    assert finding.help == "Write `46 psi`."


@pytest.mark.parametrize("typed", ["70 psi, 49 psi", "75 psi, 53 psi", "65 psi, 46 psi"])
def test_the_right_rows_are_not(typed):
    assert found(typed) == ()


def test_a_table_that_cannot_be_worked_out_is_told_whatever_the_library_says():
    """`tables/measures` takes no other level: such a table would be left out of the manual without a word."""
    text = TABLE.replace("[[TYPED]]", "[[65 psi, 46 psi]]").replace("before * (1 - drop)", "before - drop")
    files = example.on_page(text + "library: {levels: {tables/measures: off}}\n")
    told = {(f.rule, f.file, f.level) for f in example.check(files).findings}
    assert told == {
        ("file/schema", "library.yaml", Level.ERROR),
        ("tables/measures", "procedure.yaml", Level.ERROR),
    }


def test_another_rule_on_tables_may_be_off():
    files = example.on_page(
        TABLE.replace("TYPED", "65 psi, 45 psi") + "library: {levels: {tables/row-off: off}}\n"
    )
    assert example.check(files).findings == ()
