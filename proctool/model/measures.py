"""The list of measures that quantities may be written in.

A list of our own, because a general library of units reads more than people mean: `22 Nm` as number-metre,
`1 bar(a)` as bar-year. Each measure names how pint, which converts, calls it. Pint's definitions of all that
is listed here are exact (the tests hold them against NIST SP 811 (2008), appendix B); where its idea of a
measure is not ours (a turn per minute is a frequency here, not an angle per time), ours is spelled out.

Pressures are gauge pressures or differences of pressures unless marked `(a)`. `K`, `Δ°C` and `Δ°F` are
differences of temperatures. A month has no fixed number of days, so months and years are a kind of their own.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure. `symbol` is how manuals show it, `other` how people also write it."""

    symbol: str
    dimension: str
    """The kind of quantity; only measures of one kind can be compared."""
    pint: str
    """The same measure as pint calls it."""
    other: tuple[str, ...] = ()
    plural: str | None = None
    """What is shown for any number but 1, where the symbol is a word."""

    def shown(self, one: bool) -> str:
        """The symbol as it stands behind a number."""
        return self.symbol if one or self.plural is None else self.plural


def _kind(dimension: str, *measures: tuple[str, str, str] | tuple[str, str, str, str]) -> tuple[Measure, ...]:
    """Measures of one kind, each as (symbol, pint, other spellings by blanks[, plural])."""
    return tuple(
        Measure(symbol, dimension, pint, tuple(other.split()), plural[0] if plural else None)
        for symbol, pint, other, *plural in measures
    )


MEASURES: tuple[Measure, ...] = (
    *_kind(
        "pressure",
        ("bar", "bar", "barg bar(g)"),
        ("mbar", "millibar", "mbarg mbar(g)"),
        ("Pa", "pascal", "Pa(g)"),
        ("kPa", "kilopascal", "kPa(g)"),
        ("MPa", "megapascal", "MPa(g)"),
        ("psi", "psi", "psig psi(g)"),
        ("inHg", "inch_Hg", "in.Hg"),
    ),
    *_kind(
        "absolute_pressure",
        ("bar(a)", "bar", "bara"),
        ("mbar(a)", "millibar", "mbara"),
        ("Pa(a)", "pascal", ""),
        ("kPa(a)", "kilopascal", "kPaa"),
        ("MPa(a)", "megapascal", ""),
        ("psi(a)", "psi", "psia"),
    ),
    *_kind("temperature", ("°C", "degC", "degC"), ("°F", "degF", "degF")),
    *_kind("temperature_difference", ("K", "kelvin", ""), ("Δ°C", "kelvin", ""), ("Δ°F", "delta_degF", "")),
    *_kind(
        "torque",
        ("N·m", "newton*meter", "Nm N*m N.m"),
        ("lbf·ft", "force_pound*foot", "ft·lbf lbf*ft lbf-ft ft-lbf lb·ft ft·lb ft-lb lb-ft"),
        ("lbf·in", "force_pound*inch", "in·lbf lbf*in lbf-in in-lbf lb·in in·lb in-lb lb-in"),
    ),
    *_kind("force", ("N", "newton", ""), ("kN", "kilonewton", ""), ("lbf", "force_pound", "")),
    *_kind(
        "time",
        ("s", "second", "sec second seconds"),
        ("min", "minute", "minute minutes"),
        ("h", "hour", "hr hour hours"),
        ("day", "day", "d days", "days"),
        ("week", "week", "weeks", "weeks"),
        ("ms", "millisecond", ""),
    ),
    *_kind("calendar", ("month", "month", "months", "months"), ("year", "year", "years", "years")),
    *_kind(
        "length",
        ("mm", "millimeter", ""),
        ("cm", "centimeter", ""),
        ("m", "meter", ""),
        ("km", "kilometer", ""),
        ("µm", "micrometer", "micron microns"),
        ("in", "inch", "inch inches"),
        ("ft", "foot", "foot feet"),
    ),
    *_kind("area", ("mm²", "millimeter**2", ""), ("cm²", "centimeter**2", ""), ("m²", "meter**2", "")),
    *_kind(
        "volume",
        ("L", "liter", "l litre litres liter liters"),
        ("mL", "milliliter", "ml"),
        ("m³", "meter**3", ""),
        ("ft³", "foot**3", ""),
        ("gal", "gallon", "gallon gallons"),
    ),
    *_kind(
        "flow",
        ("L/min", "liter/minute", "l/min"),
        ("L/s", "liter/second", "l/s"),
        ("L/h", "liter/hour", "l/h"),
        ("m³/h", "meter**3/hour", ""),
        ("gal/min", "gallon/minute", "gpm"),
        ("ft³/min", "foot**3/minute", "cfm"),
    ),
    *_kind(
        "mass",
        ("g", "gram", ""),
        ("mg", "milligram", ""),
        ("kg", "kilogram", ""),
        ("lb", "pound", "lbs"),
        ("oz", "ounce", ""),
    ),
    *_kind("concentration", ("mg/L", "milligram/liter", "mg/l"), ("g/L", "gram/liter", "g/l")),
    *_kind("number", ("", "dimensionless", ""), ("%", "percent", "percent"), ("ppm", "ppm", "")),
    *_kind("voltage", ("V", "volt", ""), ("kV", "kilovolt", ""), ("mV", "millivolt", "")),
    *_kind("current", ("A", "ampere", ""), ("mA", "milliampere", "")),
    *_kind("power", ("W", "watt", ""), ("kW", "kilowatt", ""), ("hp", "horsepower", "")),
    *_kind("resistance", ("Ω", "ohm", "ohm ohms"), ("kΩ", "kiloohm", "kohm"), ("MΩ", "megaohm", "Mohm")),
    *_kind("capacitance", ("µF", "microfarad", "uF"), ("nF", "nanofarad", ""), ("F", "farad", "")),
    *_kind("energy", ("J", "joule", ""), ("kJ", "kilojoule", ""), ("kWh", "kilowatt*hour", "")),
    *_kind("frequency", ("Hz", "1/second", ""), ("r/min", "1/minute", "rpm 1/min min⁻¹")),
    *_kind("angle", ("°", "degree", "deg"), ("turn", "turn", "turns", "turns")),
    *_kind("dose", ("mJ/cm²", "millijoule/centimeter**2", ""), ("J/m²", "joule/meter**2", "")),
    *_kind("irradiance", ("mW/cm²", "milliwatt/centimeter**2", ""), ("W/m²", "watt/meter**2", "")),
    *_kind("speed", ("mm/s", "millimeter/second", ""), ("m/s", "meter/second", "")),
    *_kind(
        "conductivity", ("µS/cm", "microsiemens/centimeter", ""), ("mS/cm", "millisiemens/centimeter", "")
    ),
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
