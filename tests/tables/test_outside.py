"""What tables give, against published figures, the source beside each; "read" means it was looked at."""

from fractions import Fraction

import pytest

from proctool.tables.checks import row_off
from tests.tables.make import SHOWS, table, value


def near(found: Fraction, printed: str) -> bool:
    """Whether a number is a published one, as exactly as that is printed."""
    last = Fraction(1, 10 ** len(printed.partition(".")[2]))
    return abs(found - Fraction(printed)) <= last / 2


@pytest.mark.parametrize(
    ("formula", "measure", "printed"),
    [
        # NIST SP 811 (2008), appendix B: 6.894 757 E+03, 3.386 389 E+03 and so on; further digits follow from
        # the exact definitions 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s2, 1 gal = 231 in3.
        ("1 psi", "Pa", "6894.757"),
        ("1 psi", "Pa", "6894.757293168361"),
        ("1 bar", "psi", "14.5037737730"),
        ("50 psi", "kPa", "344.738"),
        ("150 psi", "kPa", "1034.214"),
        ("1 inHg", "Pa", "3386.389"),
        # The conventional inch of mercury is 13 595.1 kg/m3 * g * 1 in; the rounded factor gives 0.491 154 2.
        ("1 inHg", "psi", "0.4911541"),
        ("1 lbf·ft", "N·m", "1.3558179483"),
        ("12 lbf·in", "N·m", "1.3558179483"),
        ("1 N·m", "lbf·ft", "0.7375621493"),
        ("1 gal", "L", "3.785411784"),
        ("1 L", "gal", "0.2641720524"),
        ("1 lbf", "N", "4.4482216152605"),
        ("101325 Pa(a)", "psi(a)", "14.6959488"),
        # NIST SP 811, B.9: t/degC = (t/degF - 32)/1.8; a difference of 9 degF is one of 5 degC.
        ("32 °F", "°C", "0"),
        ("100 °F", "°C", "37.777778"),
        ("140 °F", "°C", "60"),
        ("-40 °F", "°C", "-40"),
        ("9 Δ°F", "K", "5"),
        ("50 °F - 41 °F", "K", "5"),
    ],
)
def test_conversions_through_a_formula(formula, measure, printed):
    assert near(value(formula, measure), printed)


def test_a_city_code_truncates_where_rounding_would_not():
    """New York City plumbing code 312.5 (read) prints 50 psi as 344 kPa and 150 psi as 1033 kPa."""
    assert value("50 psi", "kPa") // 1 == 344
    assert value("150 psi", "kPa") // 1 != 1033
    assert value("150 psi", "kPa") - 1033 > 1


# -- dilution. State of Oregon tank chlorination worksheet, citing AWWA C652 (read): 1 % is taken as 10 g/L.

TANK = "tank * dose / (strength * 1000 g/L)"


@pytest.mark.parametrize(
    ("dose", "strength", "printed"),
    [
        ("50 mg/L", "5 %", "0.50"),
        ("50 mg/L", "8.25 %", "0.30"),
        ("50 mg/L", "12.5 %", "0.20"),
        ("10 mg/L", "5 %", "0.10"),
        ("10 mg/L", "8.25 %", "0.06"),
        ("10 mg/L", "12.5 %", "0.04"),
    ],
)
def test_bleach_for_a_tank_of_500_gallons(dose, strength, printed):
    assert near(value(TANK, "gal", f"tank: 500 gal, dose: {dose}, strength: {strength}"), printed)


@pytest.mark.parametrize(("dose", "printed"), [("50 mg/L", "0.32"), ("10 mg/L", "0.06")])
def test_dry_chlorine_for_a_tank_of_500_gallons(dose, printed):
    fixed = f"tank: 500 gal, dose: {dose}, strength: 65 %"
    assert near(value("tank * dose / strength", "lb", fixed), printed)


def test_the_worksheet_prints_a_mass_that_is_not_its_own():
    """Beside 0.32 lb the Oregon worksheet prints 0.147 kg; the dose is 0.1456 kg. A typed row tells it."""
    fixed = "tank: 500 gal, dose: 50 mg/L, strength: 65 %"
    assert near(value("tank * dose / strength", "kg", fixed), "0.1456")
    made = table(
        "answer: {powder: {is: tank * dose / strength, round: nearest 0.001 kg}}\n"
        f"fixed: {{{fixed}}}\nsafe_side: high\ntyped: [[0.147 kg]]\n"
    )
    (fault,) = row_off(made)
    assert "rounded 0.146 kg. It errs to the high side, the safe side, by about 0.001407 kg" in fault.message


@pytest.mark.parametrize(
    ("strong", "weak", "parts"),
    [("3.5 %", "0.5 %", 6), ("5 %", "0.1 %", 49)],  # a text after WHO guidance (read at userz.net)
)
def test_parts_of_water(strong, weak, parts):
    assert value("strong / weak - 1", "%", f"strong: {strong}, weak: {weak}") == 100 * parts


def test_half_a_per_cent_from_powder():
    """14.3 g of 35 % powder for each litre (read, the same text)."""
    assert near(value("weak * 1000 g/L / powder", "g/L", "weak: 0.5 %, powder: 35 %"), "14.3")
    assert value("weak * 1000 g/L / powder", "g/L", "weak: 0.5 %, powder: 35 %") == Fraction(100, 7)


def test_one_part_in_ten_of_household_bleach():
    """About 5250 mg/L; a fact sheet on bleach (read) prints it as 0.53 %."""
    assert value("strength / 10 * 1000 g/L", "mg/L", "strength: 5.25 %") == 5250
    assert value("strength / 10", "%", "strength: 5.25 %") == Fraction("0.525")


SPOONS = {"5 tbsp": "5 gal / 256", "1/3 cup": "1 gal / 16 / 3"}
"""US measures: 256 tablespoons or 16 cups are a gallon."""


def test_two_measures_of_one_recipe_are_not_the_same():
    """ "5 tbsp (1/3 cup) per gallon" (copies of a CDC text, second hand): 6.7 % apart."""
    spoons, cup = (value(formula, "mL") for formula in SPOONS.values())
    assert near(spoons, "73.93") and near(cup, "78.86")
    assert near((cup / spoons - 1) * 100, "6.7")


@pytest.mark.parametrize(("what", "printed"), [("5 tbsp", "1006"), ("1/3 cup", "1071")])
def test_what_the_recipe_gives_with_bleach_of_5_25_per_cent(what, printed):
    bleach = SPOONS[what]
    mixed = f"strength * 1000 g/L * ({bleach}) / (1 gal + {bleach})"
    assert near(value(mixed, "mg/L", "strength: 5.25 %"), printed)


@pytest.mark.parametrize(
    ("drops", "strength", "printed"),
    [(8, "6 %", "6.3"), (6, "8.25 %", "6.5")],  # drops: second hand, 3lfilters.com; 0.05 mL each: our figure
)
def test_drops_for_a_gallon_of_drinking_water(drops, strength, printed):
    formula = f"{drops} * 0.05 mL * strength * 1000 g/L / 1 gal"
    assert near(value(formula, "mg/L", f"strength: {strength}"), printed)


def test_a_gallon_of_bleach_in_a_thousand():
    """52.4 mg/L (second hand, 3lfilters.com); volumes added."""
    assert near(value("1 gal * strength * 1000 g/L / 1001 gal", "mg/L", "strength: 5.25 %"), "52.4")


def test_a_torque_in_two_measures():
    """The torque of the part, 22 N·m, is 16.226... lbf·ft."""
    text = "answer: {torque: {is: housing.tighten, least: 20 N·m, most: 24 N·m}}\nsafe_side: inside\n"
    (row,) = table(text, shows=SHOWS).rows
    assert (row.answers[0].shown.text, row.answers[0].also[0].text) == ("22 N·m", "16.25 lbf·ft")
    assert near(value("housing.tighten", "lbf·ft"), "16.226")


# -- pressures of leak tests


@pytest.mark.parametrize(("working", "printed"), [("60 psi", 150), ("120 psi", 170)])
def test_a_leak_test_by_the_plumbing_code_of_new_york_city(working, printed):
    """312.5 (read): 50 psi above the working pressure, and no less than 150 psi."""
    assert value("max(working + 50 psi, 150 psi)", "psi", f"working: {working}") == printed


def test_a_leak_test_by_the_code_of_nashville():
    """16.12.400 (read): working pressure and 25 psi more."""
    assert value("working + 25 psi", "psi", "working: 60 psi") == 85


@pytest.mark.parametrize(("design", "test", "look"), [("100 psi", 15, "7.5"), ("40 psi", 10, "5")])
def test_a_sensitive_leak_test(design, test, look):
    """ASME B31.3-2016, 345.8 (read): the lesser of 15 psi and 25 % of design.

    The look before it is at the lesser of half of that and 25 psi.
    """
    fixed = f"design: {design}"
    assert value("min(15 psi, 25 % * design)", "psi", fixed) == test
    assert value("min(min(15 psi, 25 % * design) / 2, 25 psi)", "psi", fixed) == Fraction(look)


def test_a_hydrostatic_test():
    """ASME B31.3-2016, 345.4.2 (read): 1.5 times design, without the correction for temperature."""
    assert value("1.5 * design", "psi", "design: 125 psi") == Fraction("187.5")


@pytest.mark.parametrize(("diameter", "printed"), [(4, "0.33"), (6, "0.50"), (8, "0.66"), (12, "0.99")])
def test_water_that_a_new_main_may_lose(diameter, printed):
    """Gallons in an hour at 150 psi along 1000 ft: S * D * sqrt(P) / 148 000, a table (read) of a city."""
    loss = f"{{is: 1000 * {diameter} * sqrt(150) / 148000, round: nearest 0.01}}"
    (row,) = table(f"answer: {{loss: {loss}}}\nsafe_side: high\n").rows
    assert row.answers[0].shown.text == printed


def test_a_county_table_of_drops_that_is_not_doubled():
    """Sacramento County (read): cloudy water, twice what clear water needs, has 10 drops there, not 16."""
    text = "answer: {drops: {is: 2 * clear, round: up to 1}}\nfixed: {clear: 8}\nsafe_side: high\n"
    (fault,) = row_off(table(f"{text}typed: [[10]]\n"))
    assert "`10` is typed; the formula gives 16" in fault.message
