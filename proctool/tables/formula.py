"""Formulas of tables: `inlet * (1 - limit)`, `tank * 50 mg/L / strength`. Text to tree, without `eval`.

What can be written: `+ - * / **`, brackets, a minus sign before a value, `min max sqrt exp log`, names, and
numbers with or without a measure behind them. A minus sign binds weaker than `**` and `**` goes from right to
left, as in most languages: `-2**2` is -4, `2**3**2` is 512.

After a number the longest spelling of a measure counts, so `5 m/s` is a speed. A name may hold `-` and `.`
(a property of a part): the longest name that exists counts. Where both readings are possible it is a fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import replace
from decimal import Decimal
from typing import Never, TypeAlias

from proctool.model.measures import find_measure, spellings
from proctool.model.nearest import did_you_mean, nearest
from proctool.model.quantity import Quantity
from proctool.tables.expression import (
    Call,
    Expression,
    Formula,
    FormulaFault,
    Literal,
    Name,
    Negative,
    Operation,
)

LONGEST = 300
"""Characters of a formula."""
DEEPEST = 24
"""Brackets, functions, signs and powers inside each other."""
LONGEST_NUMBER = 40
FUNCTIONS = {"min": (2, 9), "max": (2, 9), "sqrt": (1, 1), "exp": (1, 1), "log": (1, 1)}
"""Each function with the least and the most of its arguments."""

_BLANKS = re.compile(r"\s*")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(?:[-.][A-Za-z0-9_]+)*")
_FRACTION = re.compile(r"[0-9]+/[0-9]+")
_WORD = re.compile(r"[^\W\d_][\w°²³/·]*|°\w*")
_SIGNS = ("**", "*", "/", "+", "-", "(", ")", ",")
_MINUS = "\N{MINUS SIGN}"
_INSTEAD = {
    "^": "**",
    "\N{MULTIPLICATION SIGN}": "*",
    "·": "*",
    "÷": "/",
    ":": "/",
    **dict.fromkeys("[{", "("),
    **dict.fromkeys("]}", ")"),
}
"""Signs that people write, and what is written here."""
_LONGEST_SPELLING = max(map(len, spellings())) + 2


def parse(text: str, names: Collection[str] = ()) -> Formula | FormulaFault:
    """The formula that a text says, or what is wrong with it. `names` are those that exist. Never raises."""
    if len(text) > LONGEST:
        return FormulaFault(
            "file/schema",
            f"a formula has at most {LONGEST} characters; work a part of it out beforehand",
            LONGEST,
            len(text),
        )
    parser = _Parser(text, frozenset(names))
    try:
        root = parser.whole()
    except _Stop as stop:
        return stop.fault
    return Formula(text, root, frozenset(parser.used))


class _Stop(Exception):  # noqa: N818 - it is not an error of the program
    """Reading cannot go on."""

    def __init__(self, fault: FormulaFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


class _Parser:
    def __init__(self, text: str, names: frozenset[str]) -> None:
        self.text, self.names = text, names
        self.used: set[str] = set()
        self.at = 0
        self.depth = 0
        self.in_call = 0

    def whole(self) -> Expression:
        root = self._sum()
        self._blanks()
        if self.at < len(self.text):
            self._strange("expected `+ - * / **` or the end")
        return root

    # -- the grammar, weakest first

    def _sum(self) -> Expression:
        left = self._product()
        while sign := self._take("+", "-"):
            right = self._product()
            left = Operation(left.at, right.end, sign, left, right)
        return left

    def _product(self) -> Expression:
        left = self._signed()
        while sign := self._take("*", "/"):
            right = self._signed()
            written = self.text[left.at : right.end]
            if _FRACTION.match(written) and isinstance(right, Literal) and right.quantity.measure:
                self._stop(f"`{written}` can be read in two ways; write the number as a decimal", left.at)
            left = Operation(left.at, right.end, sign, left, right)
        return left

    def _signed(self) -> Expression:
        self._blanks()
        start = self.at
        if not self._take("-"):
            return self._power()
        with_sign = self._deeper(self._signed)
        if isinstance(with_sign, Literal):
            old = with_sign.quantity
            turned = Quantity(f"-{old.written}", old.value.copy_negate(), old.measure)
            return Literal(start, with_sign.end, turned)
        return Negative(start, with_sign.end, with_sign)

    def _power(self) -> Expression:
        base = self._value()
        if not self._take("**"):
            return base
        exponent = self._deeper(self._signed)
        return Operation(base.at, exponent.end, "**", base, exponent)

    def _value(self) -> Expression:
        self._blanks()
        start = self.at
        if number := _NUMBER.match(self.text, self.at):
            return self._number(number[0])
        if name := _NAME.match(self.text, self.at):
            return self._name(name[0])
        if not self._take("("):
            self._strange("expected a number, a name or `(`")
        inner = self._deeper(self._sum)
        if not self._take(")"):
            self._strange(f"expected `)` for the bracket at character {start + 1}")
        return replace(inner, at=start, end=self.at)

    # -- numbers and names

    def _number(self, digits: str) -> Literal:
        start, self.at = self.at, self.at + len(digits)
        after = self.text[self.at : self.at + 2]
        if len(digits) > LONGEST_NUMBER:
            self._stop(f"a number has at most {LONGEST_NUMBER} digits; round it", start)
        if re.match(r"0[0-9]", digits):
            self._stop(f"`{digits}` starts with a needless 0", start)
        if re.match(r"[eE][-+0-9]", after):
            self._stop(f"`{digits}{after}` has an exponent; write the number out", start)
        if re.match(r",[0-9]", after):
            blank = ", or a blank behind the comma" if self.in_call else ""
            self._stop(f"`{digits}{after}` has a comma; write a decimal point{blank}", start)
        if after.startswith("."):
            self._stop(f"`{digits}{after}` is not a number", start)
        measure = self._measure(start)
        return Literal(start, self.at, Quantity(self.text[start : self.at], Decimal(digits), measure))

    def _measure(self, start: int) -> str:
        """The measure that stands here, in its one spelling; empty where none does."""
        number_end = self.at
        self._blanks()
        here = self.at
        for length in range(min(_LONGEST_SPELLING, len(self.text) - here), 0, -1):
            piece, after = self.text[here : here + length], self.text[here + length : here + length + 1]
            found = find_measure(piece) if not piece[-1].isspace() else None
            if found is None or (piece[-1].isalnum() and (after.isalnum() or after == "_")):
                continue
            self.at = here + length
            divided = re.search(r"[-*/.]([A-Za-z]+)$", piece)
            if divided and divided[1] in self.names:
                message = f"`{piece}` is a measure and `{divided[1]}` a name; put blanks around the sign"
                self._stop(message, start)
            return found.symbol
        word = _WORD.match(self.text, here)
        if word is not None:
            self.at = word.end()
            message = f"`{word[0]}` is not a measure that is known here.{did_you_mean(word[0], spellings())}"
            self._stop(message, here, kind="file/quantity")
        self.at = number_end
        return ""

    def _name(self, word: str) -> Expression:
        start = self.at
        word = self._longest(word)
        self.at += len(word)
        if word in FUNCTIONS and word not in self.names:
            return self._call(word, start)
        if word not in self.names:
            known = {*self.names, *FUNCTIONS}
            message = f"`{word}` is no name that is known here.{did_you_mean(word, known)}"
            self._stop(message, start, kind="graph/unknown-name")
        self.used.add(word)
        return Name(start, self.at, word)

    def _longest(self, word: str) -> str:
        """As much of a word with `-` in it as is one name."""
        pieces = word.split("-")
        for count in range(len(pieces), 0, -1):
            name = "-".join(pieces[:count])
            if name not in self.names:
                continue
            if count > 1 and all(piece in self.names for piece in pieces[:count]):
                self.at += len(name)
                message = f"`{name}` is a name, and a difference of names; put blanks around the minus sign"
                self._stop(message, self.at - len(name))
            return name
        return word if nearest(word, self.names) else pieces[0]

    def _call(self, function: str, start: int) -> Call:
        if not self._take("("):
            self._strange(f"expected `(` behind `{function}`")
        self.in_call += 1
        arguments = [self._deeper(self._sum)]
        while self._take(","):
            arguments.append(self._deeper(self._sum))
        self.in_call -= 1
        if not self._take(")"):
            self._strange(f"expected `)` for `{function}`")
        low, high = FUNCTIONS[function]
        if not low <= len(arguments) <= high:
            wanted = "one value" if high == 1 else f"{low} to {high} values"
            self._stop(f"`{function}` takes {wanted}; found {len(arguments)}", start)
        return Call(start, self.at, function, tuple(arguments))

    # -- small pieces

    def _blanks(self) -> None:
        found = _BLANKS.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def _take(self, *signs: str) -> str:
        """The sign that stands here, if it is one of these; nothing else."""
        self._blanks()
        here = next((s for s in _SIGNS if self.text.startswith(s, self.at)), "")
        if self.text.startswith(_MINUS, self.at):
            here = "-"
        if here not in signs:
            return ""
        self.at += len(here)
        return here

    def _deeper(self, read: _Read) -> Expression:
        self.depth += 1
        if self.depth > DEEPEST:
            self._stop(
                f"at most {DEEPEST} brackets, signs and powers may stand inside each other; write it flatter",
                self.at,
            )
        found = read()
        self.depth -= 1
        return found

    def _strange(self, expected: str) -> Never:
        """Stop at what stands here and should not."""
        self._blanks()
        if self.at >= len(self.text):
            self._stop(f"the formula ends too early; {expected}", self.at)
        sign = self.text[self.at]
        hint = f"; write `{_INSTEAD[sign]}` for `{sign}`" if sign in _INSTEAD else f"; {expected}"
        self._stop(f"found `{sign}`{hint}", self.at)

    def _stop(self, message: str, start: int, *, kind: str = "file/schema") -> Never:
        raise _Stop(FormulaFault(kind, message, start, max(self.at, start + 1)))


_Read: TypeAlias = Callable[[], Expression]
