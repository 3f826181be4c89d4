"""Ways in through texts inside files and on the command line: formulas, quantities, tables, `<names>`."""

from __future__ import annotations

from fractions import Fraction

from proctool.library import Library
from proctool.model.duration import duration_fault
from proctool.model.quantity import Quantity, Range, compare, convert, parse, parse_range, show, show_range
from proctool.tables import evaluate
from proctool.tables.expression import FormulaFault
from proctool.tables.formula import parse as parse_formula
from proctool.tables.given import Given
from proctool.tables.interval import Interval
from proctool.tabling import tabled_given
from tests.fuzz.bounds import BUDGET, FAULT_OF_OURS, placed
from tests.fuzz.choices import Choices
from tests.fuzz.mutations import retold
from tests.fuzz.seeds import with_text
from tests.fuzz.surface import Surface
from tests.fuzz.words import FORMULA, NUMBERS, QUANTITY, TEMPLATE, WORDS


def _formula(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*FORMULA, choices.text(6))) for _ in choices.times(40))
    formula = parse_formula(text, {"x", "y", "x-1", "part.tighten"})
    if isinstance(formula, FormulaFault):
        assert formula.message and 0 <= formula.at < formula.end
        return
    kind = choices.pick(("pressure", "number", "temperature"))
    evaluate.dimension(formula, dict.fromkeys(formula.names, kind))
    low = choices.below(2000) - 1000
    box = dict.fromkeys(formula.names, Interval(Fraction(low), Fraction(low + choices.below(50), 3)))
    box = {name: Interval(min(i.low, i.high), max(i.low, i.high)) for name, i in box.items()}
    value, wide = evaluate.evaluate(formula, box), evaluate.bounds(formula, box)
    for found in (value, wide):
        assert isinstance(found, FormulaFault) or found.low <= found.high


def _table(data: bytes) -> None:
    choices = Choices(data)

    def said(*usual: str) -> str:
        text = choices.pick(usual)
        damaged = retold(text, choices, (*NUMBERS, *WORDS, *FORMULA)) if choices.below(3) == 2 else text
        return damaged.encode("utf-8", "replace").decode()  # the command line lets no half characters in

    made = tabled_given(
        Given(
            formula=said("inlet * (1 - limit)", "inlet ** 2 / 1 bar", "exp(inlet / 1 bar) * 1 bar"),
            answer="outlet",
            readings={"inlet": said("2.0 to 6.0 bar by 0.5 bar", "0 to 1 bar by 0.001 bar", "4 bar")},
            fixed={"limit": said("25 %", "0.001", "1000 %")},
            also=(said("1 psi", "0.001 mmHg"),) if choices.below(2) else (),
            round=said("up to 0.1 bar", "nearest 0.0000001 bar", "down to 1 psi", ""),
            due=said("", "or_less", "or_more"),
            safe_side=said("", "low", "inside"),
            least=said("", "1 bar"),
            most=said("", "9 bar"),
            title=said("", "A title"),
        )
    )
    assert not any(FAULT_OF_OURS.search(finding.message) for finding in made.findings)
    made.to_json().encode()
    if made.sound:
        made.to_text().encode()
        made.to_csv().encode()


def _quantity(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*QUANTITY, choices.text(4))) for _ in choices.times(9))
    quantity, limits, fault = parse(text), parse_range(text), duration_fault(text)
    assert quantity and limits and (fault is None or fault)
    if isinstance(quantity, Quantity):
        assert compare(quantity, quantity) == 0
        assert show(quantity, ("psi", "bar", "°F", "K", "Pa", "lbf·ft", "mL"))
        assert convert(quantity, quantity.measure) == Fraction(quantity.value)
    if isinstance(limits, Range):
        assert show_range(limits, ("psi", "bar", "°F", "K", "µm"))
        assert limits.low is None or limits.holds(limits.low)


def _template(data: bytes) -> None:
    text = retold("Unscrew the <part> with the <strap_wrench> at <part.name> now.", Choices(data), TEMPLATE)
    files = with_text(text)
    placed(Library(files).check(budget=BUDGET).findings, files)


TEXTS = {
    "formula": Surface("formulas of tables", _formula, 3, 200),
    "table": Surface("tables given on the command line", _table, 5, 40),
    "quantity": Surface("quantities, ranges and durations", _quantity, 1, 200),
    "template": Surface("texts with <names> in them", _template, 5, 40),
}
