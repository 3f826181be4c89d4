"""What an `each` runs over, and in which order its copies stand."""

import pytest

from tests.resolve.small import UNIT, at, run

ELECTRIC = UNIT.replace("near: [pump]", "near: []")
STORED = UNIT.replace("  pump:", "  tank:   {role: store}\n  pump:").replace(
    "path: [socket, plug, pump]", "path: [socket, plug, pump, tank]"
)


def each(sets, more="", body="{do: Look at it.}", **library):
    """The copies of one `each`, by their ids."""
    steps = f"- each: {sets}\n  id: e\n{more}  steps: [{body}]\n"
    return [step.removeprefix("e/").removesuffix("/look") for step in run(steps, **library).ids]


@pytest.mark.parametrize(
    ("sets", "copies"),
    [
        ("{x: [second, first]}", ["second", "first"]),
        ("{x: first}", ["first"]),
        ("{x: [H2, V1]}", ["second", "inlet"]),
        ("{x: {all: component}}", ["first", "second", "pump"]),
        ("{x: {all: gauge}}", ["gauge1", "gauge2"]),
        ("{x: {isolators_of: [first, second]}}", ["inlet", "plug"]),
        ("{x: {isolators_of: pump}}", ["plug"]),
        ("{x: {vents_of: [first, second]}}", ["button1", "button2"]),
        ("{x: {vents_of: second}}", ["button2"]),
        ("{x: {gauges_of: second}}", ["gauge2"]),
        ("{x: {runners_of: [first, second]}}", ["pump"]),
        ("{x: {keeps_of: pump}}", []),
    ],
)
def test_each_kind_of_set(sets, copies):
    steps = f"- each: {sets}\n  id: e\n  steps: [{{do: Look at it.}}]\n- {{do: Go on., id: last}}\n"
    assert run(steps).ids == [*(f"e/{copy}/look" for copy in copies), "last"]


def test_what_only_discharge_relieves():
    assert each("{x: {keeps_of: pump}}", unit=STORED) == ["tank"]


def test_a_name_of_takes():
    block = "takes: [rooms]\nsteps:\n  - each: {x: rooms}\n    steps: [{open: x}]\n"
    steps = "- use: b\n  with: {rooms: [second, first]}\n"
    assert run(steps, blocks={"b": block}).ids == ["b/second/open-x", "b/first/open-x"]


def test_takes_may_be_given_a_computed_set():
    block = "takes: [devices]\nsteps:\n  - isolate: devices\n"
    steps = "- use: b\n  with: {devices: {isolators_of: first}}\n"
    assert run(steps, blocks={"b": block}).acts == ["isolate inlet", "isolate plug"]


def test_opens_of_the_procedure_is_a_set():
    assert each("{x: opens}", head="opens: [second, H1]\n") == ["second", "first"]


def test_two_names_are_nested_and_the_last_turns_fastest():
    assert each("{x: [first, second], y: [inlet, plug]}") == [
        "first-inlet",
        "first-plug",
        "second-inlet",
        "second-plug",
    ]


def test_a_later_set_uses_an_earlier_name():
    assert each("{x: [first, second], y: {gauges_of: x}}") == ["first-gauge1", "second-gauge2"]


def test_reversed_turns_the_whole_order():
    assert each("{x: [first, second], y: [inlet, plug]}", "  reversed: true\n") == [
        "second-plug",
        "second-inlet",
        "first-plug",
        "first-inlet",
    ]


class TestOrder:
    STEPS = "- each: {x: [first, second]}\n  id: e\n{more}  steps: [{do: Look at it.}, {do: Go on.}]\n"

    def pairs(self, more=""):
        return run(self.STEPS.replace("{more}", more)).pairs

    def test_copies_follow_one_another(self):
        inner = {"e/first/look < e/first/go", "e/second/look < e/second/go"}
        across = {f"e/first/{a} < e/second/{b}" for a in ("look", "go") for b in ("look", "go")}
        assert self.pairs() == inner | across

    def test_order_any_frees_the_copies_but_not_what_is_in_them(self):
        assert self.pairs("  order: any\n") == {"e/first/look < e/first/go", "e/second/look < e/second/go"}


class TestOnly:
    @pytest.mark.parametrize(
        ("only", "copies"),
        [
            ("{carries: fluid}", ["inlet"]),
            ("{carries: electricity}", ["plug"]),
            ("{carries: liquid_pressure}", ["inlet"]),
            ("{carries: mains}", ["plug"]),
            ("{carries: [water, mains]}", ["inlet", "plug"]),
            ("{device: valve}", ["inlet"]),
            ("{device: [valve, plug]}", ["inlet", "plug"]),
            ("{lock: cover}", ["plug"]),
            ("{lock: hasp}", ["inlet"]),
            ("{throttles: true}", ["inlet"]),
            ("{throttles: false}", ["plug"]),
            ("{device: valve, lock: cover}", []),
            ("{operated_by: unit}", ["inlet", "plug"]),
        ],
    )
    def test_filters(self, only, copies):
        steps = f"- each: {{x: {{all: isolator}}}}\n  id: e\n  only: {only}\n  steps: [{{do: Look at it.}}]\n"
        assert run(steps + "- do: Go on.").ids == [*(f"e/{copy}/look" for copy in copies), "go"]

    def test_a_quantity_is_compared_as_one(self):
        assert each("{x: {all: component}}", "  only: {tighten: 22.0 Nm}\n") == ["first"]

    def test_only_the_last_name_is_filtered(self):
        assert each("{x: [inlet, plug], y: [inlet, plug]}", "  only: {device: plug}\n") == [
            "inlet-plug",
            "plug-plug",
        ]

    @pytest.mark.parametrize("of", ["isolator", "store"], ids=["some", "none on this unit"])
    @pytest.mark.parametrize(
        ("only", "message"),
        [
            ("{carries: fluids}", "`fluids` is no form, group of forms or energy. Did you mean `fluid`?"),
            ("{colour: red}", "`colour` is no property of a part."),
            ("{device: valves}", "`valves` is no `device`. Did you mean `valve`?"),
            ("{throttle: true}", "`throttle` is no property of a part. Did you mean `throttles`?"),
        ],
    )
    def test_an_unknown_word_is_an_error_on_every_unit(self, of, only, message):
        fault = run(f"- each: {{x: {{all: {of}}}}}\n  only: {only}\n  steps: [{{do: Look at it.}}]\n").only
        assert fault.rule == "graph/unknown-name"
        assert fault.message == message
        assert at(fault).line == 6


class TestAlsoOff:
    def test_what_must_be_dead_for_another_reason_is_cut_too(self):
        assert each("{x: {isolators_of: first}}", unit=ELECTRIC) == ["inlet"]
        assert each("{x: {isolators_of: first}}", "  also_off: [pump]\n", unit=ELECTRIC) == ["inlet", "plug"]

    def test_and_what_runs_by_it_is_a_runner(self):
        also = "  also_off: [pump]\n"
        assert each("{x: {runners_of: first}}", also, unit=ELECTRIC) == ["pump"]

    def test_an_unknown_part(self):
        steps = "- each: {x: {isolators_of: first}}\n  also_off: [pmp]\n  steps: [{isolate: x}]\n"
        assert run(steps).only.message == "`pmp` is no part of this unit. Did you mean `pump`?"


@pytest.mark.parametrize(
    ("sets", "message"),
    [
        ("{x: frist}", "`frist` is no part of this unit. Did you mean `first`?"),
        ("{x: {isolators_of: frist}}", "`frist` is no part of this unit. Did you mean `first`?"),
        ("{x: [first, frist]}", "`frist` is no part of this unit. Did you mean `first`?"),
    ],
)
def test_names_that_are_not_there(sets, message):
    fault = run(f"- each: {sets}\n  steps: [{{do: Look at it.}}]\n").only
    assert (fault.rule, fault.message) == ("graph/unknown-name", message)


def test_a_set_that_names_a_part_twice_clashes():
    fault = run("- each: {x: [first, H1]}\n  id: e\n  steps: [{do: Look at it.}]\n").only
    assert (fault.rule, fault.message.split(".")[0]) == (
        "graph/duplicate-id",
        "Two entries have the id `e/first`",
    )
