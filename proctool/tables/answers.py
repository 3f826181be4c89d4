"""The answers of a table, from their texts."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from fractions import Fraction

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.quantity import dimension as kind_of
from proctool.model.quantity import parse
from proctool.model.rows import AnswerColumn, Due, Gauge, SafeSide, Way
from proctool.tables.dimension import NUMBER, Dimension, fits, of_kind
from proctool.tables.evaluate import dimension
from proctool.tables.expression import Formula, FormulaFault
from proctool.tables.faults import entries, scalar
from proctool.tables.formula import parse as parse_formula
from proctool.tables.rounding import Rounding, parse_rounding
from proctool.tables.sheet import Sheet, title_of

_FINEST = Fraction(1, 10)
"""Where an answer is not rounded, other measures are shown in steps of at most this."""


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer with its formulas as trees, and the steps of the other measures it is shown in."""

    column: AnswerColumn
    formula: Formula
    least: Formula | None
    most: Formula | None
    also: ReadOnly[str, Fraction]
    text: Scalar
    """Its formula in the file."""


def read_answers(sheet: Sheet) -> tuple[Answer, ...]:
    """The answers; what their formulas name is added to the values of the table."""
    names = sheet.names("answer")
    if not names:
        sheet.faults.schema("A table needs an `answer`.", sheet.name.span)
    sides = {}
    for key, value in entries(sheet.node, "due_when"):
        sides[key.text] = sheet.word(value, Due)
        if key.text not in names:
            sheet.faults.unknown(key, "answer of this table", names)
    default = sheet.word(sheet.node.get("safe_side"), SafeSide)
    found = []
    for key, value in entries(sheet.node, "answer"):
        answer = _answer(sheet, key, value, sides.get(key.text), default)
        if answer is not None:
            found.append(answer)
    return tuple(found)


def _answer(
    sheet: Sheet, key: Scalar, value: Node, due: Due | None, default: SafeSide | None
) -> Answer | None:
    node = value if isinstance(value, Mapping) else None
    text, written, gauge = scalar(node, "is"), scalar(node, "round"), sheet.gauge(node)
    rounding = parse_rounding(written.text) if written is not None else None
    if isinstance(rounding, str) and written is not None:
        sheet.faults.quantity(rounding, written.span)
    if text is None:
        sheet.faults.schema(f"The answer `{key.text}` needs `is`, its formula.", key.span)
        return None
    known = _formula(sheet, text)
    if known is None or isinstance(rounding, str):
        return None
    formula, what = known
    measure = _measure_of(sheet, what, rounding, gauge, key)
    if measure is None or not _agree(sheet, what, measure, text):
        return None
    if gauge is not None and gauge.measure:
        sheet.same_kind(measure, gauge.measure, f"the answer `{key.text}` and {gauge.label}", key.span)
    least, most = (_limit(sheet, node, end, measure) for end in ("least", "most"))
    side = sheet.word(node.get("safe_side") if node is not None else None, SafeSide)
    if side is None and due is None:
        side = default
    if side is SafeSide.INSIDE and (least is None or most is None):
        sheet.faults.schema("`safe_side: inside` needs `least` and `most` beside `is`.", key.span)
    step = Fraction(rounding.step.value) if rounding is not None else None
    column = AnswerColumn(
        name=key.text,
        title=title_of(key.text, node, gauge),
        formula=text.text,
        gauge=gauge,
        measure=measure,
        way=rounding.way if rounding is not None else None,
        step=step,
        due=due,
        safe_side=side,
        safe_way=_safe_way(due, side),
        nearby=(),
        span=key.span,
        round_span=written.span if written is not None else key.span,
    )
    also = sheet.also(node, measure, step if step is not None else _FINEST)
    return Answer(column, formula, least, most, also, text)


def _formula(sheet: Sheet, text: Scalar) -> tuple[Formula, Dimension] | None:
    """A formula and what it gives."""
    own = {*sheet.names("readings"), *sheet.names("fixed")}
    formula = parse_formula(text.text, {*own, *sheet.texts})
    if isinstance(formula, FormulaFault):
        sheet.faults.formula(text, formula)
        return None
    for name in sorted(formula.names - own - sheet.values.keys()):
        found = parse(sheet.texts[name])
        if isinstance(found, str):
            message = f"`{name}` of unit {sheet.unit.id} is no quantity: {found}"
            sheet.faults.quantity(message, text.span)
        else:
            sheet.values[name] = found
            sheet.kinds[name] = kind_of(found.measure)
    if not formula.names <= sheet.kinds.keys():
        return None
    what = dimension(formula, sheet.kinds)
    if isinstance(what, FormulaFault):
        sheet.faults.formula(text, what)
        return None
    return formula, what


def _measure_of(
    sheet: Sheet, what: Dimension, rounding: Rounding | None, gauge: Gauge | None, key: Scalar
) -> str | None:
    """The measure of an answer: of its step, else of its gauge, else the one that the library reads."""
    if rounding is not None:
        return rounding.step.measure
    if gauge is not None and gauge.measure:
        return gauge.measure
    shown = sheet.shows.get(what.kind or "")
    if shown:
        return shown[0]
    if what.kind == NUMBER:
        return ""
    message = f"Nothing says in which measure `{key.text}` is told; add `round` with a step."
    sheet.faults.measures(message, key.span)
    return None


def _agree(sheet: Sheet, what: Dimension, measure: str, text: Scalar) -> bool:
    """Whether a formula gives what its column shows; else it is noted."""
    if fits(what, kind_of(measure)):
        return True
    told = f"the column is told in `{measure}`, which is" if measure else "the column is told as"
    sheet.faults.measures(f"The formula gives {what}; {told} {of_kind(kind_of(measure))}.", text.span)
    return False


def _limit(sheet: Sheet, node: Mapping | None, key: str, measure: str) -> Formula | None:
    """`least` or `most` of an answer."""
    text = scalar(node, key)
    known = _formula(sheet, text) if text is not None else None
    if text is None or known is None or not _agree(sheet, known[1], measure, text):
        return None
    return known[0]


def _safe_way(due: Due | None, side: SafeSide | None) -> Way | None:
    """Rounding up calls for work sooner where it is due at the answer or less."""
    if due is not None:
        return Way.UP if due is Due.OR_LESS else Way.DOWN
    return {SafeSide.LOW: Way.DOWN, SafeSide.HIGH: Way.UP}.get(side) if side is not None else None
