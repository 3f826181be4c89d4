"""The list of measures that quantities may be written in.

A list of our own, because a general library of units reads more than people mean: `22 Nm` as number-metre,
`1 bar(a)` as bar-year; and takes a quarter of a second to load. Sizes are exact: NIST SP 811 (2008),
appendix B; the tests hold each against that and against the definitions of pint. A turn per minute is a
frequency here.

Pressures are gauge pressures or differences of pressures unless marked `(a)`. `K`, `Δ°C` and `Δ°F` are
differences of temperatures. A month has no fixed number of days, so months and years are a kind of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_G = Fraction("9.80665")
_IN = Fraction("0.0254")
_FT = 12 * _IN
_GAL = 231 * _IN**3
_LB = Fraction("0.45359237")
_LBF = _LB * _G
_MERCURY = Fraction("13595.1")
"""Standard gravity, inch, foot, US gallon, pound, pound-force, density of mercury by convention; in SI."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure. `symbol` is how manuals show it, `other` how people also write it."""

    symbol: str
    dimension: str
    """The kind of quantity; only measures of one kind can be compared."""
    size: Fraction
    """One of it, in the measure that its kind is counted in here (mostly that of the SI)."""
    zero: Fraction = Fraction(0)
    """Where its 0 lies in that measure."""
    other: tuple[str, ...] = ()
    plural: str | None = None
    """What is shown for any number but 1, where the symbol is a word."""

    def shown(self, one: bool) -> str:
        """The symbol as it stands behind a number."""
        return self.symbol if one or self.plural is None else self.plural


def _kind(
    dimension: str, *measures: tuple[str, Fraction | int, str] | tuple[str, Fraction | int, str, str]
) -> tuple[Measure, ...]:
    """Measures of one kind, each as (symbol, size, other spellings by blanks[, plural])."""
    return tuple(
        Measure(symbol, dimension, Fraction(size), Fraction(0), tuple(other.split()), *plural)
        for symbol, size, other, *plural in measures
    )


MEASURES: tuple[Measure, ...] = (
    *_kind(
        "pressure",
        ("bar", 10**5, "barg bar(g)"),
        ("mbar", 100, "mbarg mbar(g)"),
        ("Pa", 1, "Pa(g)"),
        ("kPa", 1000, "kPa(g)"),
        ("MPa", 10**6, "MPa(g)"),
        ("psi", _LBF / _IN**2, "psig psi(g)"),
        ("inHg", _IN * _MERCURY * _G, "in.Hg"),
    ),
    *_kind(
        "absolute_pressure",
        ("bar(a)", 10**5, "bara"),
        ("mbar(a)", 100, "mbara"),
        ("Pa(a)", 1, ""),
        ("kPa(a)", 1000, "kPaa"),
        ("MPa(a)", 10**6, ""),
        ("psi(a)", _LBF / _IN**2, "psia"),
    ),
    Measure("°C", "temperature", Fraction(1), other=("degC",)),
    Measure("°F", "temperature", Fraction(5, 9), Fraction(-160, 9), ("degF",)),
    *_kind("temperature_difference", ("K", 1, ""), ("Δ°C", 1, ""), ("Δ°F", Fraction(5, 9), "")),
    *_kind(
        "torque",
        ("N·m", 1, "Nm N*m N.m"),
        ("lbf·ft", _LBF * _FT, "ft·lbf lbf*ft lbf-ft ft-lbf lb·ft ft·lb ft-lb lb-ft"),
        ("lbf·in", _LBF * _IN, "in·lbf lbf*in lbf-in in-lbf lb·in in·lb in-lb lb-in"),
    ),
    *_kind("force", ("N", 1, ""), ("kN", 1000, ""), ("lbf", _LBF, "")),
    *_kind(
        "time",
        ("s", 1, "sec second seconds"),
        ("min", 60, "minute minutes"),
        ("h", 3600, "hr hour hours"),
        ("day", 86_400, "d days", "days"),
        ("week", 7 * 86_400, "weeks", "weeks"),
        ("ms", Fraction(1, 1000), ""),
    ),
    *_kind("calendar", ("month", 1, "months", "months"), ("year", 12, "years", "years")),
    *_kind(
        "length",
        ("mm", Fraction(1, 1000), ""),
        ("cm", Fraction(1, 100), ""),
        ("m", 1, ""),
        ("km", 1000, ""),
        ("µm", Fraction(1, 10**6), "micron microns"),
        ("in", _IN, "inch inches"),
        ("ft", _FT, "foot feet"),
    ),
    *_kind("area", ("mm²", Fraction(1, 10**6), ""), ("cm²", Fraction(1, 10**4), ""), ("m²", 1, "")),
    *_kind(
        "volume",
        ("L", Fraction(1, 1000), "l litre litres liter liters"),
        ("mL", Fraction(1, 10**6), "ml"),
        ("m³", 1, ""),
        ("ft³", _FT**3, ""),
        ("gal", _GAL, "gallon gallons"),
    ),
    *_kind(
        "flow",
        ("L/min", Fraction(1, 60_000), "l/min"),
        ("L/s", Fraction(1, 1000), "l/s"),
        ("L/h", Fraction(1, 3_600_000), "l/h"),
        ("m³/h", Fraction(1, 3600), ""),
        ("gal/min", _GAL / 60, "gpm"),
        ("ft³/min", _FT**3 / 60, "cfm"),
    ),
    *_kind(
        "mass",
        ("g", Fraction(1, 1000), ""),
        ("mg", Fraction(1, 10**6), ""),
        ("kg", 1, ""),
        ("lb", _LB, "lbs"),
        ("oz", _LB / 16, ""),
    ),
    *_kind("concentration", ("mg/L", Fraction(1, 1000), "mg/l"), ("g/L", 1, "g/l")),
    *_kind("number", ("", 1, ""), ("%", Fraction(1, 100), "percent"), ("ppm", Fraction(1, 10**6), "")),
    *_kind("voltage", ("V", 1, ""), ("kV", 1000, ""), ("mV", Fraction(1, 1000), "")),
    *_kind("current", ("A", 1, ""), ("mA", Fraction(1, 1000), "")),
    *_kind("power", ("W", 1, ""), ("kW", 1000, ""), ("hp", 550 * _FT * _LBF, "")),
    *_kind("resistance", ("Ω", 1, "ohm ohms"), ("kΩ", 1000, "kohm"), ("MΩ", 10**6, "Mohm")),
    *_kind("capacitance", ("µF", Fraction(1, 10**6), "uF"), ("nF", Fraction(1, 10**9), ""), ("F", 1, "")),
    *_kind("energy", ("J", 1, ""), ("kJ", 1000, ""), ("kWh", 3_600_000, "")),
    *_kind("frequency", ("Hz", 1, ""), ("r/min", Fraction(1, 60), "rpm 1/min min⁻¹")),
    *_kind("angle", ("°", 1, "deg"), ("turn", 360, "turns", "turns")),
    *_kind("dose", ("mJ/cm²", 10, ""), ("J/m²", 1, "")),
    *_kind("irradiance", ("mW/cm²", 10, ""), ("W/m²", 1, "")),
    *_kind("speed", ("mm/s", Fraction(1, 1000), ""), ("m/s", 1, "")),
    *_kind("conductivity", ("µS/cm", Fraction(1, 10**4), ""), ("mS/cm", Fraction(1, 10), "")),
)
"""Every measure, grouped by kind."""

DIMENSIONS: tuple[str, ...] = tuple(dict.fromkeys(measure.dimension for measure in MEASURES))
"""The kinds of quantities, as `shows` of a library names them."""

_SAME = str.maketrans(
    {
        "\N{GREEK SMALL LETTER MU}": "µ",
        "\N{OHM SIGN}": "Ω",
        "\N{DOT OPERATOR}": "·",
        "\N{BULLET}": "·",
        "\N{MASCULINE ORDINAL INDICATOR}": "°",
        "\N{RING ABOVE}": "°",
        "\N{GREEK CAPITAL LETTER DELTA}": "Δ",
        "\N{INCREMENT}": "Δ",
    }
)
_SPELLINGS = (
    ("\N{DEGREE CELSIUS}", "°C"),
    ("\N{DEGREE FAHRENHEIT}", "°F"),
    ("° ", "°"),
    (" (", "("),
    ("m^2", "m²"),
    ("m^3", "m³"),
    ("ft^3", "ft³"),
    ("m2", "m²"),
    ("m3", "m³"),
    ("ft3", "ft³"),
)

_BY_SPELLING = {spelling: measure for measure in MEASURES for spelling in (measure.symbol, *measure.other)}


def find_measure(text: str) -> Measure | None:
    """The measure that a text names, in any of its spellings; None where it is not listed.

    Case counts: `mPa` and `MPa` are far apart. A blank stands for the dot of a product (`N m`), and for
    nothing else: `m in` is not `min`.
    """
    text = " ".join(text.translate(_SAME).split())
    for wrong, right in _SPELLINGS:
        text = text.replace(wrong, right)
    return _BY_SPELLING.get(text) or _BY_SPELLING.get(text.replace(" ", "·"))


def spellings() -> tuple[str, ...]:
    """Every spelling that is understood, for the nearest right one."""
    return tuple(spelling for spelling in _BY_SPELLING if spelling)
