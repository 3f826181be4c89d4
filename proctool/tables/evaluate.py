"""What a formula is and what it gives: its dimension, its value, and its bounds over a box of readings.

Values are worked out in coherent measures (see `dimension`) on intervals (see `interval`). The bounds over a
box are sharp where the formula only rises or only falls with a reading there, which its slope tells; else
they are those of interval arithmetic, which may be wider than need be and are never too narrow.
"""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as ReadOnly
from fractions import Fraction
from functools import reduce
from itertools import pairwise

from proctool.model.quantity import dimension as kind_of
from proctool.tables import interval as on
from proctool.tables.dimension import (
    NUMBER,
    Dimension,
    Mismatch,
    added,
    alike,
    base_value,
    multiplied,
    of_kind,
    raised,
    turned,
)
from proctool.tables.expression import (
    Call,
    Expression,
    Formula,
    FormulaFault,
    Literal,
    Name,
    Negative,
    Operation,
    pieces,
)
from proctool.tables.interval import Interval, NoNumber, point

Box = ReadOnly[str, Interval]
"""For each name the values it can have, in the coherent measure of its kind."""

_HALF = Fraction(1, 2)
_PIECES = 8
_SIGNS: ReadOnly[str, Callable[[Interval, Interval], Interval]] = {
    "+": on.add,
    "-": on.subtract,
    "*": on.multiply,
    "/": on.divide,
    "**": on.power,
}
_FUNCTIONS: ReadOnly[str, Callable[..., Interval]] = {
    "min": on.least,
    "max": on.greatest,
    "sqrt": on.root,
    "exp": on.exp,
    "log": on.log,
}


class _Wrong(Exception):  # noqa: N818 - it is not an error of the program
    """A piece of a formula that does not work out, and why."""

    def __init__(self, message: str, place: Expression) -> None:
        super().__init__(message)
        self.message, self.place = message, place


# -- dimensions


def dimension(formula: Formula, kinds: ReadOnly[str, str]) -> Dimension | FormulaFault:
    """What a formula gives, where `kinds` has the kind of each of its names."""
    try:
        return _dimension(formula.root, kinds)
    except _Wrong as wrong:
        return FormulaFault("tables/measures", wrong.message, wrong.place.at, wrong.place.end)


def _dimension(node: Expression, kinds: ReadOnly[str, str]) -> Dimension:
    if isinstance(node, Literal):
        return of_kind(kind_of(node.quantity.measure))
    if isinstance(node, Name):
        return of_kind(kinds[node.name])
    inner = [_dimension(piece, kinds) for piece in pieces(node)]
    try:
        return _combined(node, inner)
    except Mismatch as mismatch:
        raise _Wrong(str(mismatch), node) from None


def _combined(node: Negative | Operation | Call, inner: list[Dimension]) -> Dimension:
    match node:
        case Negative():
            return turned(inner[0])
        case Operation(sign="+" | "-" as sign):
            return added(inner[0], inner[1], sign)
        case Operation(sign="*" | "/" as sign):
            return multiplied(inner[0], inner[1], sign)
        case Operation():
            return _power(node, *inner)
        case Call(function="min" | "max"):
            return reduce(alike, inner)
        case Call(function="sqrt"):
            return raised(inner[0], _HALF)
        case Call():
            if inner[0].kind != NUMBER:
                raise Mismatch(f"`{node.function}` takes a bare number; found {inner[0]}")
            return inner[0]


def _power(node: Operation, base: Dimension, exponent: Dimension) -> Dimension:
    if exponent.kind != NUMBER:
        raise Mismatch(f"an exponent is a bare number; found {exponent}")
    if base.kind == NUMBER:
        return base
    try:
        fixed = _Evaluation({}).value(node.right)
    except KeyError:
        fixed = None
    if fixed is None or not fixed.exact:
        raise Mismatch(f"the exponent of {base} must be written as a number")
    return raised(base, fixed.low)


# -- values


def evaluate(formula: Formula, box: Box) -> Interval | FormulaFault:
    """What a formula gives for values of its names; as one number where that is exact."""
    try:
        return _Evaluation(box).value(formula.root)
    except _Wrong as wrong:
        return FormulaFault("file/quantity", wrong.message, wrong.place.at, wrong.place.end)


def slope_sign(formula: Formula, name: str, box: Box) -> int | None:
    """1 or -1 if all over the box the formula only rises or only falls with a name, 0 if it does neither.

    None where that cannot be told. The bounds of a slope over the whole box may be too wide to tell what
    those over its pieces tell; a formula that goes one way in each piece does so all over the box.
    """
    whole = _sign(formula, name, box)
    if whole is not None or box[name].exact:
        return whole
    low, high = box[name].low, box[name].high
    cuts = [low + (high - low) * n / _PIECES for n in range(_PIECES + 1)]
    signs = {_sign(formula, name, {**box, name: Interval(*ends)}) for ends in pairwise(cuts)} - {0}
    return signs.pop() if len(signs) == 1 else None


def _sign(formula: Formula, name: str, box: Box) -> int | None:
    try:
        slope = _Evaluation(box).slope(formula.root, name)
    except (_Wrong, NoNumber):
        return None
    if slope.low >= 0:
        return 1 if slope.high > 0 else 0
    return -1 if slope.high <= 0 else None


def bounds(formula: Formula, box: Box) -> Interval | FormulaFault:
    """Between which values the formula surely stays while its names go through a box."""
    whole = evaluate(formula, box)
    wide = [name for name in formula.names if not box[name].exact]
    if isinstance(whole, FormulaFault) or not wide:
        return whole
    at_low, at_high = dict(box), dict(box)
    for name in wide:
        sign = slope_sign(formula, name, box)
        if sign is not None:
            low, high = point(box[name].low), point(box[name].high)
            at_low[name], at_high[name] = (high, low) if sign < 0 else (low, high)
    low_end, high_end = evaluate(formula, at_low), evaluate(formula, at_high)
    if isinstance(low_end, FormulaFault) or isinstance(high_end, FormulaFault):
        return whole
    return Interval(low_end.low, high_end.high)


def _function(node: Negative | Operation | Call) -> Callable[..., Interval]:
    match node:
        case Negative():
            return on.negative
        case Operation():
            return _SIGNS[node.sign]
        case Call():
            return _FUNCTIONS[node.function]


class _Evaluation:
    """One walk over a formula; pieces that slopes ask for again are kept."""

    def __init__(self, box: Box) -> None:
        self.box = box
        self._known: dict[int, Interval] = {}

    def value(self, node: Expression) -> Interval:
        """The value of a piece. KeyError for a name that the box has not."""
        found = self._known.get(id(node))
        if found is None:
            found = self._known[id(node)] = self._value(node)
        return found

    def _value(self, node: Expression) -> Interval:
        if isinstance(node, Literal):
            return point(base_value(node.quantity))
        if isinstance(node, Name):
            return self.box[node.name]
        inner = [self.value(piece) for piece in pieces(node)]
        try:
            return _function(node)(*inner)
        except NoNumber as none:
            raise _Wrong(str(none), node) from None

    def slope(self, node: Expression, name: str) -> Interval:
        """Between which values the derivative of a piece by a name stays. NoNumber where it has none."""
        match node:
            case Literal():
                return point(0)
            case Name():
                return point(int(node.name == name))
            case Negative():
                return on.negative(self.slope(node.operand, name))
            case Operation():
                return self._slope_of_operation(node, *(self.slope(piece, name) for piece in pieces(node)))
            case Call():
                return self._slope_of_call(node, [self.slope(piece, name) for piece in pieces(node)])

    def _slope_of_operation(self, node: Operation, du: Interval, dv: Interval) -> Interval:
        u, v = self.value(node.left), self.value(node.right)
        match node.sign:
            case "+":
                return on.add(du, dv)
            case "-":
                return on.subtract(du, dv)
            case "*":
                return on.add(on.multiply(du, v), on.multiply(u, dv))
            case "/":
                over = on.subtract(on.multiply(du, v), on.multiply(u, dv))
                return on.divide(over, on.multiply(v, v))
        if du == dv == point(0):
            return du
        if dv == point(0):
            return on.multiply(on.multiply(v, on.power(u, on.subtract(v, point(1)))), du)
        rate = on.add(on.multiply(dv, on.log(u)), on.divide(on.multiply(v, du), u))
        return on.multiply(self.value(node), rate)

    def _slope_of_call(self, node: Call, slopes: list[Interval]) -> Interval:
        du, u = slopes[0], self.value(node.arguments[0])
        match node.function:
            case "min" | "max":
                return on.hull(*slopes)
            case "sqrt":
                return on.divide(du, on.multiply(point(2), self.value(node)))
            case "exp":
                return on.multiply(du, self.value(node))
            case _:
                return on.divide(du, u)
