"""The sizes of all measures against a general library of units, which shares nothing with ours."""

from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest
from pint import UnitRegistry

from proctool.model.measures import MEASURES
from proctool.model.quantity import Quantity, convert

# fmt: off
PINT = {
    "bar": "bar", "mbar": "millibar", "Pa": "pascal", "kPa": "kilopascal", "MPa": "megapascal",
    "psi": "psi", "inHg": "inch_Hg", "bar(a)": "bar", "mbar(a)": "millibar", "Pa(a)": "pascal",
    "kPa(a)": "kilopascal", "MPa(a)": "megapascal", "psi(a)": "psi", "°C": "degC", "°F": "degF",
    "K": "kelvin", "Δ°C": "kelvin", "Δ°F": "delta_degF", "N·m": "newton*meter",
    "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch", "N": "newton", "kN": "kilonewton",
    "lbf": "force_pound", "s": "second", "min": "minute", "h": "hour", "day": "day", "week": "week",
    "ms": "millisecond", "month": "month", "year": "year", "mm": "millimeter", "cm": "centimeter",
    "m": "meter", "km": "kilometer", "µm": "micrometer", "in": "inch", "ft": "foot", "mm²": "millimeter**2",
    "cm²": "centimeter**2", "m²": "meter**2", "L": "liter", "mL": "milliliter", "m³": "meter**3",
    "ft³": "foot**3", "gal": "gallon", "L/min": "liter/minute", "L/s": "liter/second", "L/h": "liter/hour",
    "m³/h": "meter**3/hour", "gal/min": "gallon/minute", "ft³/min": "foot**3/minute", "g": "gram",
    "mg": "milligram", "kg": "kilogram", "lb": "pound", "oz": "ounce", "mg/L": "milligram/liter",
    "g/L": "gram/liter", "": "dimensionless", "%": "percent", "ppm": "ppm", "V": "volt", "kV": "kilovolt",
    "mV": "millivolt", "A": "ampere", "mA": "milliampere", "W": "watt", "kW": "kilowatt",
    "hp": "horsepower", "Ω": "ohm", "kΩ": "kiloohm", "MΩ": "megaohm", "µF": "microfarad", "nF": "nanofarad",
    "F": "farad", "J": "joule", "kJ": "kilojoule", "kWh": "kilowatt*hour", "Hz": "1/second",
    "r/min": "1/minute", "°": "degree", "turn": "turn", "mJ/cm²": "millijoule/centimeter**2",
    "J/m²": "joule/meter**2", "mW/cm²": "milliwatt/centimeter**2", "W/m²": "watt/meter**2",
    "mm/s": "millimeter/second", "m/s": "meter/second", "µS/cm": "microsiemens/centimeter",
    "mS/cm": "millisiemens/centimeter",
}
# fmt: on
"""How pint calls each measure. Its idea of some is not ours: a turn per minute is a frequency here."""


@cache
def registry():
    return UnitRegistry(non_int_type=Fraction)


def test_every_measure_is_held_against_it():
    assert {measure.symbol for measure in MEASURES} == PINT.keys()


@pytest.mark.parametrize(
    ("one", "other"),
    [(a.symbol, b.symbol) for a in MEASURES for b in MEASURES if a.dimension == b.dimension and a != b],
)
def test_conversions_are_those_of_pint(one, other):
    for number in (0, 1, Fraction(-13, 4)):
        theirs = registry().Quantity(Fraction(number), PINT[one]).to(PINT[other]).magnitude
        ours = convert(Quantity("", Decimal(float(number)), one), other)
        if PINT[one] in {"degree", "turn"}:  # pint counts angles in radians, by a rounded pi
            assert abs(ours - Fraction(theirs)) < Fraction(1, 10**9)
        else:
            assert ours == theirs
