"""Kinds of quantities through a formula: what may be added, what a product is, and how large a measure is.

Every kind has a coherent measure (that of the SI: pascal, metre, second, ...) in which formulas are worked
out, and its dimension as powers of seven base measures. Angles and months are base measures of their own, so
that a turn is not a number and a month not a number of days.

Kinds with one dimension are still not mixed: torque and energy, gauge and absolute pressure. Readings of
temperature and absolute pressures are places on a scale: their difference is a difference of temperatures or
a pressure, and only such can be added to them. A reading of temperature is never multiplied: twice 20 °C is
40 °C on one scale and 104 °F, which is 40 °C, is not twice 68 °F on the other.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from proctool.model.quantity import Quantity, convert, dimension

BASES = ("kg", "m", "s", "K", "A", "°", "month")
Powers = tuple[Fraction, ...]
"""Exponents of `BASES`."""

TEMPERATURE, DIFFERENCE = "temperature", "temperature_difference"
ABSOLUTE, PRESSURE = "absolute_pressure", "pressure"
NUMBER = "number"


def _powers(**given: int) -> Powers:
    names = {"angle": "°"}
    by_base = {names.get(base, base): Fraction(n) for base, n in given.items()}
    return tuple(by_base.get(base, Fraction(0)) for base in BASES)


NONE = _powers()
KINDS: ReadOnly[str, tuple[Powers, str, Fraction]] = {
    "pressure": (_powers(kg=1, m=-1, s=-2), "Pa", Fraction(1)),
    "absolute_pressure": (_powers(kg=1, m=-1, s=-2), "Pa(a)", Fraction(1)),
    "temperature": (_powers(K=1), "°C", Fraction(1)),
    "temperature_difference": (_powers(K=1), "K", Fraction(1)),
    "torque": (_powers(kg=1, m=2, s=-2), "N·m", Fraction(1)),
    "force": (_powers(kg=1, m=1, s=-2), "N", Fraction(1)),
    "time": (_powers(s=1), "s", Fraction(1)),
    "calendar": (_powers(month=1), "month", Fraction(1)),
    "length": (_powers(m=1), "m", Fraction(1)),
    "area": (_powers(m=2), "m²", Fraction(1)),
    "volume": (_powers(m=3), "m³", Fraction(1)),
    "flow": (_powers(m=3, s=-1), "m³/h", Fraction(1, 3600)),
    "mass": (_powers(kg=1), "kg", Fraction(1)),
    "concentration": (_powers(kg=1, m=-3), "g/L", Fraction(1)),
    "number": (NONE, "", Fraction(1)),
    "voltage": (_powers(kg=1, m=2, s=-3, A=-1), "V", Fraction(1)),
    "current": (_powers(A=1), "A", Fraction(1)),
    "power": (_powers(kg=1, m=2, s=-3), "W", Fraction(1)),
    "resistance": (_powers(kg=1, m=2, s=-3, A=-2), "Ω", Fraction(1)),
    "capacitance": (_powers(kg=-1, m=-2, s=4, A=2), "F", Fraction(1)),
    "energy": (_powers(kg=1, m=2, s=-2), "J", Fraction(1)),
    "frequency": (_powers(s=-1), "Hz", Fraction(1)),
    "angle": (_powers(angle=1), "°", Fraction(1)),
    "dose": (_powers(kg=1, s=-2), "J/m²", Fraction(1)),
    "irradiance": (_powers(kg=1, s=-3), "W/m²", Fraction(1)),
    "speed": (_powers(m=1, s=-1), "m/s", Fraction(1)),
    "conductivity": (_powers(kg=-1, m=-3, s=3, A=2), "mS/cm", Fraction(1, 10)),
}
"""Of each kind: its dimension, a measure of it, and how many coherent measures that one is."""


@lru_cache(maxsize=256)
def _scale(measure: str) -> tuple[Fraction, Fraction]:
    """Slope and offset of the straight line from a measure to the coherent one of its kind."""
    _, reference, factor = KINDS[dimension(measure)]
    zero, one = (convert(Quantity("", Decimal(n), measure), reference) * factor for n in (0, 1))
    return one - zero, zero


def to_base(number: Fraction, measure: str) -> Fraction:
    """A number of a measure in the coherent measure of its kind."""
    slope, offset = _scale(measure)
    return number * slope + offset


def from_base(number: Fraction, measure: str) -> Fraction:
    """A number of coherent measures in another measure of their kind."""
    slope, offset = _scale(measure)
    return (number - offset) / slope


def factor(measure: str) -> Fraction:
    """How many coherent measures one measure is, as a difference: 1 °F is 5/9 K. Never negative or zero."""
    return _scale(measure)[0]


def base_value(quantity: Quantity) -> Fraction:
    """A quantity in the coherent measure of its kind."""
    return to_base(Fraction(quantity.value), quantity.measure)


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a value is: its dimension, and its kind where one is known."""

    powers: Powers
    kind: str | None = None
    """None for a product that could be of several kinds, or of none that has a name here."""

    def __str__(self) -> str:
        if self.kind is not None:
            return _WORDS.get(self.kind, self.kind.replace("_", " "))
        named = next((kind for kind, (powers, _, _) in KINDS.items() if powers == self.powers), None)
        return self._by_bases() if named is None else named.replace("_", " ")

    def _by_bases(self) -> str:
        pairs = zip(BASES, self.powers, strict=True)
        return "·".join(base if n == 1 else f"{base}^{n}" for base, n in pairs if n)


_WORDS = {
    NUMBER: "a bare number",
    TEMPERATURE: "a reading of temperature",
    DIFFERENCE: "a difference of temperatures",
}


_TWO = {TEMPERATURE: "readings of temperature", ABSOLUTE: "absolute pressures"}


class Mismatch(Exception):  # noqa: N818 - it is not an error of the program
    """Values that do not go together; the text says which. It does not leave this stage."""


def of_kind(kind: str) -> Dimension:
    """The dimension of a kind."""
    return Dimension(KINDS[kind][0], kind)


_PLAIN = {TEMPERATURE: DIFFERENCE, ABSOLUTE: PRESSURE}
"""Places on a scale, and what the difference of two of them is."""


def added(a: Dimension, b: Dimension, sign: str) -> Dimension:
    """What the sum (`+`) or difference (`-`) of two values is."""
    word = "added" if sign == "+" else "taken from each other"
    if a.powers != b.powers:
        raise Mismatch(f"{a} and {b} cannot be {word}")
    for place, plain in _PLAIN.items():
        kinds = (a.kind or plain, b.kind or plain)
        if kinds == (place, place):
            if sign == "-":
                return of_kind(plain)
            raise Mismatch(f"two {_TWO[place]} cannot be added; take a difference first")
        if kinds == (place, plain) or (sign == "+" and kinds == (plain, place)):
            return of_kind(place)
    return alike(a, b, word)


def alike(a: Dimension, b: Dimension, word: str = "compared") -> Dimension:
    """What two values of one kind are; the kind of a product is that of the other."""
    if a.powers != b.powers:
        raise Mismatch(f"{a} and {b} cannot be {word}")
    if a.kind == b.kind:
        return a
    if None in {a.kind, b.kind} and not {a.kind, b.kind} & _PLAIN.keys():
        return a if b.kind is None else b
    raise Mismatch(f"{a} and {b} cannot be {word}")


def multiplied(a: Dimension, b: Dimension, sign: str) -> Dimension:
    """What the product (`*`) or quotient (`/`) of two values is."""
    word = "multiplied" if sign == "*" else "divided"
    _scaled(a, word)
    _scaled(b, word)
    if b.kind == NUMBER or (a.kind == NUMBER and sign == "*"):
        return a if b.kind == NUMBER else b
    if sign == "/" and a.powers == b.powers:
        alike(a, b, "divided by each other")
        return of_kind(NUMBER)
    powers = tuple(x + y if sign == "*" else x - y for x, y in zip(a.powers, b.powers, strict=True))
    return of_kind(NUMBER) if powers == NONE else Dimension(powers)


def raised(a: Dimension, exponent: Fraction) -> Dimension:
    """What a value to a fixed power is."""
    if a.kind == NUMBER or exponent == 1:
        return a
    _scaled(a, "raised to a power")
    powers = tuple(x * exponent for x in a.powers)
    return of_kind(NUMBER) if powers == NONE else Dimension(powers)


def turned(a: Dimension) -> Dimension:
    """What a value with its sign turned is."""
    _scaled(a, "turned in sign")
    if a.kind == ABSOLUTE:
        raise Mismatch("an absolute pressure cannot be turned in sign")
    return a


def fits(a: Dimension, kind: str) -> bool:
    """Whether a result can be shown in measures of a kind."""
    wanted = of_kind(kind)
    return a.powers == wanted.powers and (a.kind == kind or (a.kind is None and kind not in _PLAIN))


def _scaled(a: Dimension, word: str) -> None:
    if a.kind == TEMPERATURE:
        raise Mismatch(
            f"a reading of temperature cannot be {word}; take its difference from another one first"
        )
