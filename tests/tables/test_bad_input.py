"""Whatever stands under a table's name is worked out or told to be wrong; nothing raises, nothing hangs."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.model.document import Mapping, Scalar, Sequence
from proctool.model.rows import Band, Outcome, Table
from proctool.model.span import Span
from proctool.tables import compute, due_answer
from proctool.tables.checks import CHECKS, faults
from tests.tables.make import SHOWS, outcome, quantity, unit
from tests.tables.make import faults as told

AT = Span("p.yaml", 1, 1, 1, 2)
KINDS = {*CHECKS, "file/quantity", "file/schema", "file/limit", "graph/unknown-name", "graph/hidden-name"}
GAUGES = [
    *("usual: 1 to 2 bar", "span: 10 bar, accuracy: grade A", "span: wide, division: x"),
    "span: 80 °C, accuracy: 1 %",
]
UNITS = [unit(), *map(unit, GAUGES)]


def judged(made: Outcome) -> None:
    """A table with answers in every row, or faults with known kinds, a message and a place."""
    if isinstance(made, Table):
        assert made.rows and all(len(row.answers) == len(made.answers) > 0 for row in made.rows)
    else:
        assert made
    for fault in faults(made):
        assert fault.kind in KINDS and fault.message.strip() and fault.span.line >= 1


SCALARS = st.sampled_from(
    [
        *(
            "",
            "x",
            "true",
            "false",
            "or_less",
            "or_more",
            "inside",
            "low",
            "high",
            "before",
            "after",
            "P1",
            "main",
        ),
        *("2 to 4 bar by 1 bar", "20 to 40 °C by 10 °C", "0 to 3 by 1", "0 to 1 by 0.0001", "1 bar", "3 s"),
        *("up to 0.1 bar", "down to 1 psi", "nearest 5 K", "up to 1", "1 barr", "25 %", "1 psi", "20 °C"),
        *("x * 2", "x - 1 bar", "1 / x", "sqrt(x)", "log(x)", "x ** 9", "x + y", "min(x, y)", "restart * 2"),
        *("housing.tighten", "colour", "exp(x * 1 bar)", "(", "x x", "9**99", "20 °C + x", "x / y"),
    ]
)
KEYS = st.sampled_from(
    [
        *("title", "while", "readings", "answer", "fixed", "guard", "due_when", "safe_side", "typed", "soon"),
        *("gauge", "rows", "also", "is", "round", "least", "most", "x", "y", "a", "b", "restart", "min"),
    ]
)


def map_of(entries) -> Mapping:
    return Mapping(tuple((Scalar(key, AT), value) for key, value in dict(entries).items()), AT)


def nodes(keys, inner):
    return st.one_of(
        SCALARS.map(lambda text: Scalar(text, AT)),
        st.lists(inner, max_size=3).map(lambda items: Sequence(tuple(items), AT)),
        st.lists(st.tuples(keys, inner), max_size=4).map(map_of),
    )


ANYTHING = st.recursive(
    SCALARS.map(lambda text: Scalar(text, AT)), lambda inner: nodes(KEYS, inner), max_leaves=12
)


def given_map(names, inner):
    return st.dictionaries(st.sampled_from(names), inner, max_size=2).map(map_of)


def text(*choices: str):
    return st.sampled_from([Scalar(choice, AT) for choice in choices])


READING = st.fixed_dictionaries(
    {"rows": text("2 to 4 bar by 1 bar", "1 to 9 bar by 2 bar", "0 to 3 bar by 1 bar", "3 bar")},
    optional={"gauge": text("before", "after", "P1"), "also": text("1 psi", "5 kPa")},
).map(map_of)
FORMULA = text(
    *("x * 75 %", "x - 1 bar", "1 bar * 1 bar / x", "sqrt(x * x)", "x / (2 bar - x) * 1 bar"),
    *("max(x, 9 bar - x)", "5 bar", "x ** 2 / 1 bar", "exp(x / 1 bar) * 1 bar", "log(x / 1 bar) * 1 bar"),
    *("x ** 1.852 / 1 bar ** 0.852", "x - (x - 1 bar) * 30 %"),
)
ANSWER = st.fixed_dictionaries(
    {"is": FORMULA, "round": text("up to 0.1 bar", "down to 0.1 bar", "nearest 1 psi", "up to 5 kPa")},
    optional={
        "gauge": text("before", "after"),
        "least": FORMULA,
        "most": FORMULA,
        "also": text("1 psi", "5 kPa"),
        "safe_side": text("low", "high"),
    },
).map(map_of)
ROWS = st.lists(
    st.tuples(text("4 bar", "50 psi"), text("2 bar", "30 psi")).map(lambda cells: Sequence(cells, AT)),
    max_size=2,
)
TABLE = st.fixed_dictionaries(
    {
        "readings": READING.map(lambda reading: map_of([("x", reading)])),
        "answer": ANSWER.map(lambda answer: map_of([("a", answer)])),
        "due_when": text("or_less", "or_more").map(lambda side: map_of([("a", side)])),
    },
    optional={
        "guard": text("true", "false"),
        "soon": text("0.3 bar", "0 bar", "5 psi"),
        "while": text("it runs", ""),
        "typed": ROWS.map(lambda rows: Sequence(tuple(rows), AT)),
    },
).map(map_of)


@settings(max_examples=300)
@given(ANYTHING.filter(lambda found: isinstance(found, Mapping)), st.sampled_from(UNITS))
def test_no_shape_raises(found, on):
    assert isinstance(found, Mapping)
    judged(compute(Scalar("t", AT), found, on, SHOWS))


@settings(max_examples=400)
@given(TABLE, st.sampled_from(UNITS[:4]), st.sampled_from(["1 bar", "0 bar", "300 psi", "3 s", "-1 bar"]))
def test_no_table_raises_and_each_answers_every_reading(found, on, reading):
    made = compute(Scalar("t", AT), found, on, SHOWS)
    judged(made)
    if isinstance(made, Table):
        value = quantity(reading)
        said = due_answer(made, dict.fromkeys("xa", value))
        assert isinstance(said, Band | str)


def test_the_longest_table_is_quick():
    started = time.process_time()
    made = outcome(
        "readings: {x: {gauge: before, rows: 1.00 to 5.99 bar by 0.01 bar}}\n"
        "answer: {a: {is: x ** 1.852 / 1 bar ** 0.852 - x * 5 %, gauge: after, round: up to 0.1 bar}}\n"
        "guard: true\ndue_when: {a: or_less}\n",
        unit(),
        SHOWS,
    )
    assert isinstance(made, Table) and len(made.rows) == 500
    assert time.process_time() - started < 60


@pytest.mark.parametrize(
    ("text", "kind", "words", "line"),
    [
        ("title: T\n", "file/schema", "A table needs an `answer`", 1),
        ("answer: {a: {round: up to 1 bar}}", "file/schema", "The answer `a` needs `is`", 2),
        ("answer: {a: {is: 1 bar, round: up 1 bar}}", "file/quantity", "is no rounding", 2),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar, gauge: P3}}",
            "graph/unknown-name",
            "no gauge of unit T",
            2,
        ),
        ("answer: {a: {is: 1 bar, round: up to 1 bar, gauge: housing}}", "graph/unknown-name", "no gauge", 2),
        ("answer: {a: {is: 1 bar * 2 s}}", "tables/measures", "Nothing says in which measure `a` is told", 2),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\ndue_when: {b: or_less}",
            "graph/unknown-name",
            "no answer",
            3,
        ),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\ndue_when: {a: less}",
            "file/schema",
            "or_less, or_more",
            3,
        ),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\nguard: true",
            "file/schema",
            "`guard` moves a limit",
            3,
        ),
        ("answer: {a: {is: 1 bar, round: up to 1 bar}}\nsoon: 1 bar", "file/schema", "beside `due_when`", 3),
        (
            "answer: {a: {is: x, round: up to 1 bar}}\nfixed: {x: 1 barr}",
            "file/quantity",
            "Did you mean `bar`",
            3,
        ),
        ("answer: {a: {is: x, round: up to 1 bar}}\nreadings: {x: {}}", "file/schema", "`x` needs `rows`", 3),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\ntyped: [[1 bar, 2 bar]]",
            "file/schema",
            "has 1 values",
            3,
        ),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\nfixed: {restart: 1 s}",
            "graph/hidden-name",
            "a fact",
            3,
        ),
        (
            "answer: {a: {is: 1 bar, round: up to 1 bar}}\nfixed: {max: 1 s}",
            "graph/hidden-name",
            "a function",
            3,
        ),
        (
            "readings: {x: {gauge: P1, rows: 8 to 12 bar by 1 bar}}\nanswer: {a: {is: x, gauge: P1}}",
            "file/quantity",
            "beyond the scale of inlet gauge P1",
            2,
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_place(text, kind, words, line):
    (fault,) = told(text)
    assert (fault.kind, fault.span.line) == (kind, line)
    assert words in fault.message


def test_all_that_is_wrong_is_told_at_once_in_the_order_of_the_file():
    found = told(
        "readings: {x: {gauge: befor, rows: 2.0 to 6.1 bar by 0.5 bar}}\n"
        "answer: {a: {is: y * 2, round: up to 1 bar}}\nguard: yes\n"
    )
    assert [(f.kind, f.span.line) for f in found] == [
        ("graph/unknown-name", 2),
        ("file/quantity", 2),
        ("graph/unknown-name", 3),
        ("file/schema", 4),
    ]
