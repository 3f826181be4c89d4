"""The rules on content held against published figures, the source beside each."""

from datetime import date, timedelta

import pytest

from proctool.api import Library
from proctool.rules.content.lubricant_unfit import LIMITS
from tests.rules import example

TODAY = date.fromisoformat(example.TODAY_IN_TESTS)


def inspected(day: date, by: str) -> set[str]:
    """What is found in the example procedure, in use for years, with one inspection."""
    files = example.clean()
    said = f"inspections: [{{date: {day}, by: {by}, of: [B. Sample], unit: EX-1 no. 12}}]\n"
    files["procedure.yaml"] = files["procedure.yaml"].replace("date: 2026-01-12", "date: 2020-01-12") + said
    return {f.rule for f in Library.from_texts(files).check(today=TODAY).findings}


@pytest.mark.parametrize(
    ("days", "by", "found"),
    [
        # 29 CFR 1910.147(c)(6)(i): at least annually, by somebody other than those who use the procedure.
        # That a year is 365 days is our count.
        (365, "A. Example", set()),
        (366, "A. Example", {"content/inspection-overdue"}),
        (1, "B. Sample", {"content/inspection-overdue"}),
    ],
)
def test_an_inspection_is_yearly_and_by_somebody_else(days, by, found):
    assert inspected(TODAY - timedelta(days=days), by) == found


@pytest.mark.parametrize(
    ("substance", "amount", "fit"),
    [
        # 21 CFR 178.3570: mineral oil 10 ppm, dimethylpolysiloxane 1 ppm.
        ("mineral_oil", "10 ppm", True),
        ("mineral_oil", "10.1 ppm", False),
        ("silicone", "1 ppm", True),
        ("silicone", "10 ppm", False),
        ("silicone", "0.0001 %", True),
        ("silicone", "1 mg/L", False),  # no share of anything: it cannot be held against the limit
    ],
)
def test_what_a_lubricant_may_leave_in_food(substance, amount, fit):
    files = example.clean()
    grease = (
        f"  grease: {{name: grease, touches: food, approval: 21 CFR 178.3570, disposal: special waste, "
        f"gives_off: {{{substance}: {amount}}}}}\n"
    )
    files["library.yaml"] = files["library.yaml"].replace("  o_ring:", f"{grease}  o_ring:")
    files["procedure.yaml"] = files["procedure.yaml"].replace(
        "    fit: cartridge\n", "    fit: cartridge\n    using: grease\n"
    )
    found = {f.rule for f in example.check(files).findings}
    assert found == (set() if fit else {"content/lubricant-unfit"})


def test_the_limit_for_silicone_is_ten_times_tighter():
    assert LIMITS == {"mineral_oil": "10 ppm", "silicone": "1 ppm"}
