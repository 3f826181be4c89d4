"""A blank put between number and measure, in the quotes that are there."""

import pytest

from tests.fix.small import changed, fixed, said
from tests.rules import example


@pytest.mark.parametrize(
    ("old", "new", "right"),
    [
        ("tighten: 20 N·m", "tighten: 20Nm", "tighten: 20 N·m"),
        ("tighten: 20 N·m", "tighten: '20Nm'", "tighten: '20 N·m'"),
        ("tighten: 20 N·m", 'tighten: "20N·m"', 'tighten: "20 N·m"'),
        ("accuracy: 1.6 %", "accuracy:   1.6%", "accuracy:   1.6 %"),
        ("usual: 2.0 to 6.0 bar", "usual: 2.0bar to 6.0bar", "usual: 2.0 bar to 6.0 bar"),
        ("safe: 0 V", "safe: 0V   # none", "safe: 0 V   # none"),
    ],
)
def test_a_blank_is_put_in(old, new, right):
    text = changed("unit.yaml", old, new)
    assert said("unit", fixed(unit=text), unit=text) == text.replace(new, right)


def test_two_on_one_line():
    text = changed("unit.yaml", "accuracy: 1.6 %, division: 0.1 bar", "accuracy: 1.6%, division: 0.1bar")
    assert said("unit", fixed(unit=text), unit=text) == example.clean()["unit.yaml"]


@pytest.mark.parametrize(
    "new", ["tighten: >-\n      20Nm", 'tighten: "20\\x4em"', "tighten: 20Nm\n      or so"]
)
def test_what_takes_more_than_its_line_is_told(new):
    text = changed("unit.yaml", "tighten: 20 N·m", "§").replace(
        "{role: component, name: filter housing, ",
        "\n    role: component\n    name: filter housing\n    ",
    )
    text = text.replace(
        "cartridge: filter cartridge, seal: O-ring, §, near: [pump], traps_air: true}",
        f"cartridge: filter cartridge\n    seal: O-ring\n    {new}\n    near: [pump]\n    traps_air: true",
    )
    result = fixed(unit=text)
    assert (dict(result.after), result.done) == ({}, ())
    assert ["not written on one line" in note.told for note in result.left] == [True]
