"""Units on their bases: what is taken over, what is merged, what is taken away."""

from textwrap import dedent

import pytest

from proctool.api import Library
from proctool.resolve.inherit import DEPTH_LIMIT
from tests.resolve.small import LIBRARY, UNIT, unit_of

BASE = UNIT.replace("unit: U-1\n", "base: b\n")


def files(**more):
    return {name.replace("_", "-") + ".yaml": dedent(text) for name, text in more.items()}


def on_base(text="", base=BASE, **more):
    return unit_of("unit: U-1\nbased_on: b\n" + dedent(text), **files(base=base, **more))


def test_all_of_a_base_is_taken_over():
    unit, findings = on_base()
    alone, _ = unit_of(UNIT)
    assert findings == ()
    assert list(unit.parts) == list(alone.parts)
    assert list(unit.energies) == ["water", "mains"]
    assert unit.lines["main"].path == alone.lines["main"].path
    assert unit.facts == {"restart": "10 s"}
    assert unit.family == "U"


def test_title_and_checked_are_not_inherited():
    base = BASE + "checked: {by: A. Base, date: 2026-01-01}\n"
    unit, findings = on_base(base=base)
    assert findings == ()
    assert unit.title == "U-1"
    assert unit.checked is None
    own, _ = on_base("title: Mine\nchecked: {by: B. Unit, date: 2026-02-02}\n", base=base)
    assert (own.title, own.checked.by) == ("Mine", "B. Unit")


def test_properties_merge_one_by_one_and_a_list_is_replaced_whole():
    unit, _ = on_base(
        """\
        parts:
          first: {tighten: 25 N·m, near: [], colour: blue}
        lines:
          main: {path: [supply, inlet, first, second, tap]}
        energies:
          water: {normal: 6 bar}
        """
    )
    first = unit.parts["first"]
    assert (first.tighten, first.name, first.seal, first.near) == ("25 N·m", "first housing", "O-ring", ())
    assert first.text("colour") == "blue"
    assert unit.lines["main"].path == ("supply", "inlet", "first", "second", "tap")
    assert unit.lines["main"].energies == ("water",)
    assert (unit.energies["water"].normal, unit.energies["water"].safe) == ("6 bar", "0 bar")


def test_the_order_of_parts_is_that_of_the_base_then_of_the_unit():
    unit, _ = on_base("parts: {extra: {role: component}, first: {seal: ring}, last: {role: component}}\n")
    names = list(unit.parts)
    assert names[: names.index("pump") + 1] == list(unit_of(UNIT)[0].parts)
    assert names[-2:] == ["extra", "last"]


def test_facts_are_laid_over_one_by_one():
    unit, _ = on_base("facts: {restart: 20 s, rest: 5 min}\n")
    assert unit.facts == {"restart": "20 s", "rest": "5 min"}


def test_a_base_stands_on_a_base():
    unit, findings = unit_of(
        "unit: U-1\nbased_on: upper\nparts: {first: {seal: of the unit}}\n",
        **files(
            upper="base: upper\nbased_on: b\nlockout: exclusive_control\n"
            "parts: {first: {seal: of upper, name: upper}}",
            lower=BASE,
        ),
    )
    assert findings == ()
    assert (unit.parts["first"].seal, unit.parts["first"].name) == ("of the unit", "upper")
    assert unit.parts["first"].tighten == "22 N·m"
    assert unit.control.value == "exclusive_control"


def test_an_unknown_base_is_told_with_the_nearest_one():
    unit, (fault,) = unit_of("unit: U-1\nbased_on: bb\n", **files(base=BASE))
    assert unit is None
    assert fault.rule == "graph/unknown-name"
    assert str(fault.span) == "unit.yaml:2:11"
    assert fault.message == "There is no base `bb` in this library. Did you mean `b`?"


def test_bases_that_need_each_other_are_shown_as_a_cycle():
    unit, (fault,) = unit_of(
        "unit: U-1\nbased_on: one\n",
        **files(one="base: one\nbased_on: two\n", two="base: two\nbased_on: one\n"),
    )
    assert unit is None
    assert (fault.rule, str(fault.span)) == ("file/cycle", "two.yaml:2:11")
    assert fault.message == "Bases need each other: one → two → one. Cut one `based_on`."


def test_a_base_that_needs_itself():
    _, (fault,) = unit_of("unit: U-1\nbased_on: b\n", **files(base=BASE + "based_on: b\n"))
    assert fault.message == "Bases need each other: b → b. Cut one `based_on`."


def test_a_tower_of_bases_ends_as_a_finding():
    tower = {f"b{i}.yaml": f"base: b{i}\nbased_on: b{i + 1}\n" for i in range(1500)}
    unit, (fault,) = unit_of("unit: U-1\nbased_on: b0\n", **tower)
    assert unit is None
    assert fault.rule == "file/limit"
    assert fault.message == f"More than {DEPTH_LIMIT} bases stand on each other here."


class TestWithout:
    def test_parts_and_lines_are_taken_away(self):
        unit, findings = on_base("without: [button2, out2, gauge2]\n")
        assert findings == ()
        assert {"button2", "gauge2"}.isdisjoint(unit.parts)
        assert list(unit.lines) == ["main", "out1", "power"]

    def test_a_base_may_take_away_too(self):
        upper = "base: upper\nbased_on: b\nwithout: [button2, out2, gauge2]\n"
        unit, findings = unit_of("unit: U-1\nbased_on: upper\n", **files(upper=upper, lower=BASE))
        assert findings == ()
        assert "button2" not in unit.parts

    def test_a_name_that_is_not_there(self):
        unit, (fault,) = on_base("without: [buton2]\n")
        assert unit is None
        assert str(fault.span) == "unit.yaml:3:11"
        assert fault.message == (
            "`without` names `buton2`, which is no part or line of the base. Did you mean `button2`?"
        )

    @pytest.mark.parametrize(
        ("name", "message"),
        [
            ("pump", "`near` of `first` names `pump`, which is no part of this unit."),
            ("button2", "Line `out2` names `button2`, which is no part of this unit."),
            ("second", "`at` of gauge `gauge2` names `second`, which is no part of this unit."),
        ],
    )
    def test_what_still_names_it_is_an_error(self, name, message):
        unit, findings = on_base(f"without: [{name}]\n")
        assert unit is None
        assert {f.rule for f in findings} == {"graph/unknown-name"}
        assert any(f.message.startswith(message.removesuffix(".")) for f in findings), findings


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("parts: {first: {seal: }}\n", "`seal` of `first` has no value. Write one, or take the line away."),
        ("energies: {water: {normal: }}\n", "`normal` of `water` has no value."),
    ],
)
def test_an_empty_value_is_an_error(text, message):
    library = Library.from_texts(
        {"library.yaml": LIBRARY, "base.yaml": BASE, "unit.yaml": "unit: U-1\nbased_on: b\n" + text}
    )
    said = library.check().findings
    assert said and all(f.file == "unit.yaml" and f.level.value == "error" for f in said)
    assert any("has no value" in f.message for f in said), (said, message)


class TestFaultsOfAUnit:
    def faults(self, old, new, **more):
        assert old in UNIT
        unit, findings = unit_of(UNIT.replace(old, new), **more)
        assert unit is None
        return [(f.rule, f.message) for f in findings]

    def test_a_line_through_an_unknown_part(self):
        assert self.faults("path: [first, button1]", "path: [firts, button1]") == [
            (
                "graph/unknown-name",
                "Line `out1` names `firts`, which is no part of this unit. Did you mean `first`?",
            )
        ]

    def test_a_line_of_an_unknown_energy(self):
        assert self.faults("energy: mains, path", "energy: main, path") == [
            (
                "graph/unknown-name",
                "Line `power` names `main`, which is no energy of this unit. Did you mean `mains`?",
            )
        ]

    def test_a_part_without_a_role(self):
        assert self.faults("insert: {role: restriction}", "insert: {name: insert}") == [
            ("file/schema", "Part `insert` has no `role`, such as component or isolator.")
        ]

    def test_one_tag_on_two_parts(self):
        assert self.faults("tag: V5", "tag: V1") == [
            ("graph/duplicate-id", "Tag V1 stands on `inlet` and on `button2`.")
        ]

    def test_a_tag_that_is_the_name_of_a_part(self):
        assert self.faults("tag: V5", "tag: pump") == [
            ("graph/hidden-name", "Tag pump of `button2` is a part's name.")
        ]

    def test_a_gauge_at_nothing(self):
        ((rule, message),) = self.faults("at: second, energy: water", "energy: water")
        assert (rule, message) == ("file/schema", "Gauge `gauge2` has no `at`.")

    def test_a_position_that_the_device_does_not_have(self):
        ((_, message),) = self.faults("device: valve, tag: V1", "device: valve, tag: V1, normal: off")
        assert message == "`off` is no position of this device; expected one of open, part_open, closed."

    def test_a_measure_that_does_not_exist(self):
        ((rule, message),) = self.faults("normal: 4 bar", "normal: 4 baar")
        assert rule == "file/quantity"
        assert "`4 baar` cannot be read" in message and "bar" in message


def test_a_fault_of_a_base_is_told_once_for_all_its_units():
    library = Library.from_texts(
        {
            "library.yaml": LIBRARY,
            "base.yaml": BASE.replace("path: [first, button1]", "path: [firts, button1]"),
            "one.yaml": "unit: U-1\nbased_on: b\n",
            "two.yaml": "unit: U-2\nbased_on: b\n",
        }
    )
    assert [str(f.span) for f in library.units.findings] == ["base.yaml:27:33"]
