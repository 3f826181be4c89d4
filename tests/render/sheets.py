"""Two tables by hand: a change point with two measures and gauge errors, a torque between two ends."""

from __future__ import annotations

from fractions import Fraction

from proctool.model.rows import (
    Amount,
    AnswerCell,
    AnswerColumn,
    Due,
    Edges,
    ErrorBand,
    Gauge,
    ReadingCell,
    ReadingColumn,
    Row,
    SafeSide,
    Spread,
    Table,
    Way,
)
from tests.render.kw4 import AT


def gauge(name: str, label: str, *, known: bool = True) -> Gauge:
    error = (ErrorBand(Fraction(0), Fraction(10), Fraction("0.16")),) if known else None
    return Gauge(name, label, "bar", Fraction(0), Fraction(10), error, Fraction("0.1"), None)


def bar(number: str) -> Amount:
    return Amount(Fraction(number), "bar", f"{number} bar")


def psi(number: int) -> Amount:
    return Amount(Fraction(number), "psi", f"{number} psi")


def around(number: str) -> Spread:
    low, high = (Fraction(number) + sign * Fraction("0.21") for sign in (-1, 1))
    return Spread(*(Amount(end, "bar", f"{float(end):.2f} bar") for end in (low, high)))


def change_point(
    *, due: Due = Due.OR_LESS, known: bool = True, guard: bool = True, nearby: Way | None = Way.UP
) -> Table:
    """Due at or below three quarters of the inlet, the limit moved by the gauges' errors and rounded up."""
    inlet = ReadingColumn(
        "inlet", "Inlet gauge P1", gauge("in", "inlet gauge P1", known=known), "bar", Fraction("0.5"), AT, AT
    )
    outlet = AnswerColumn(
        name="outlet",
        title="Outlet",
        formula="inlet * (1 - limit)",
        gauge=gauge("out", "outlet gauge P2", known=known),
        measure="bar",
        way=Way.UP,
        step=Fraction("0.1"),
        due=due,
        safe_side=None,
        safe_way=Way.UP,
        nearby=(nearby,),
        span=AT,
        round_span=AT,
    )

    def row(at: str, inch: int, exact: str, shown: str, in_psi: int, edges: tuple[str, str, str]) -> Row:
        sure, open_, soon = (bar(edge) for edge in edges)
        told = Edges(sure, open_, soon) if known else Edges(sure, None, None)
        cell = AnswerCell(
            value=bar(exact),
            exact=True,
            limit=None,
            moved=bar(exact),
            shown=bar(shown),
            also=(psi(in_psi),),
            true=around(shown) if known else None,
            least=None,
            most=None,
            edges=told,
        )
        return Row((ReadingCell(bar(at), (psi(inch),), around(at) if known else None),), (cell,))

    return Table(
        name="change_point",
        title="Change both cartridges when the outlet reads this or less",
        condition="water runs at normal flow",
        readings=(inlet,),
        answers=(outlet,),
        rows=(
            row("2.0", 29, "1.5", "1.9", 28, ("1.1325", "1.9", "2.2675")),
            row("4.0", 58, "3.0", "3.4", 49, ("2.6325", "3.4", "3.7675")),
        ),
        typed=(),
        guard=guard,
        soon=None,
        values={},
        span=AT,
    )


def torque() -> Table:
    """A torque for each size of bolt, between a least and a most."""

    def newton(number: int) -> Amount:
        return Amount(Fraction(number), "N·m", f"{number} N·m")

    size = ReadingColumn("size", "bolt size", None, "mm", None, AT, AT)
    column = AnswerColumn(
        name="torque",
        title="torque",
        formula="size * 3",
        gauge=None,
        measure="N·m",
        way=Way.NEAREST,
        step=Fraction(1),
        due=None,
        safe_side=SafeSide.INSIDE,
        safe_way=None,
        nearby=(None,),
        span=AT,
        round_span=AT,
    )
    rows = []
    for mm in (8, 10):
        turn = newton(3 * mm)
        cell = AnswerCell(
            turn, True, None, turn, turn, (), None, newton(3 * mm - 2), newton(3 * mm + 2), None
        )
        rows.append(Row((ReadingCell(Amount(Fraction(mm), "mm", f"{mm} mm"), (), None),), (cell,)))
    return Table(
        "torque", "Torque of the cover", "", (size,), (column,), tuple(rows), (), False, None, {}, AT
    )
