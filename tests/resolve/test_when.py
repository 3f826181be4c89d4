"""What applies to a unit: `when` in all its forms."""

import pytest

from tests.resolve.small import UNIT, at, run

OTHER = (
    "unit: U-2\nfamily: V\nenergies: {hot: {form: heat}}\nfacts: {rest: 5 min}\n"
    "parts: {tank: {role: store}, fire: {role: source}}\nlines: {l: {energy: hot, path: [fire, tank]}}\n"
)
"""Another unit of the library: its names are known, but U-1 has none of them."""


def applies(when, unit=UNIT):
    steps = f"- {{do: A step., id: asked, when: {when}}}\n- {{do: Another., id: always}}\n"
    ids = run(steps, unit=unit, others={"other.yaml": OTHER}).ids
    assert ids[-1] == "always"
    return ids == ["asked", "always"]


@pytest.mark.parametrize(
    ("when", "holds"),
    [
        ("{fitted: pump}", True),
        ("{fitted: tank}", False),
        ("{fitted: [pump, inlet]}", True),
        ("{fitted: [pump, tank]}", False),
        ("{not_fitted: tank}", True),
        ("{not_fitted: pump}", False),
        ("{not_fitted: [tank, pump]}", False),
        ("{unit: U-1}", True),
        ("{unit: [U-2, U-1]}", True),
        ("{unit: U-2}", False),
        ("{family: U}", True),
        ("{family: V}", False),
        ("{lockout: required}", True),
        ("{lockout: exclusive_control}", False),
        ("{fact: {restart: 10 s}}", True),
        ("{fact: {restart: 10000 ms}}", True),
        ("{fact: {restart: 11 s}}", False),
        ("{fact: {rest: 5 min}}", False),
        ("{fact: {restart: 10 s, rest: 5 min}}", False),
        ("{fitted: pump, family: U}", True),
        ("{fitted: pump, family: V}", False),
    ],
)
def test_forms(when, holds):
    assert applies(when) is holds


def test_exclusive_control():
    assert applies("{lockout: exclusive_control}", UNIT + "lockout: exclusive_control\n")


@pytest.mark.parametrize(
    ("property_", "left"),
    [
        ("{lock: none}", []),
        ("{lock: hasp}", ["inlet"]),
        ("{device: plug}", ["plug"]),
        ("{throttles: true}", ["inlet"]),
        ("{carries: fluid}", ["inlet"]),
        ("{tag: [V1, X1]}", ["inlet", "plug"]),
    ],
)
def test_a_property_of_the_copy(property_, left):
    steps = f"""\
        - each: {{x: {{all: isolator}}}}
          steps:
            - {{do: A step., id: asked, when: {{x: {property_}}}}}
        - {{do: Another., id: always}}
        """
    assert run(steps).ids == [*(f"{name}/asked" for name in left), "always"]


@pytest.mark.parametrize(
    "entry",
    [
        "{steps: [{do: In it.}], when: {fitted: tank}}",
        "{use: b, when: {fitted: tank}}",
        "{any_order: [{do: In it.}], when: {fitted: tank}}",
        "{each: {x: [first]}, when: {fitted: tank}, steps: [{do: In it.}]}",
    ],
)
def test_on_groups(entry):
    steps = f"- {entry}\n- {{do: Another., id: always}}\n"
    found = run(steps, others={"other.yaml": OTHER}, blocks={"b": "steps: [{do: In it.}]\n"})
    assert found.ids == ["always"]


@pytest.mark.parametrize(
    ("when", "message"),
    [
        ("{fitted: tnak}", "`tnak` is no part of any unit of this library. Did you mean `tank`?"),
        ("{not_fitted: [pump, tnak]}", "`tnak` is no part of any unit of this library. Did you mean `tank`?"),
        ("{unit: U1}", "`U1` is no unit of this library. Did you mean `U-1`?"),
        ("{family: W}", "`W` is no family of units."),
        ("{fact: {restrat: 10 s}}", "`restrat` is no fact of any unit of this library. Did you"),
        ("{fited: {tag: V1}}", "`fited` is no word of `when` and no name given by an `each`. Did you"),
        ("{x: {lock: none}}", "`x` is no word of `when` and no name given by an `each`."),
    ],
)  # fmt: skip
def test_a_name_that_no_unit_has_would_leave_a_step_out_and_is_an_error(when, message):
    steps = f"- {{do: A step., when: {when}}}\n- do: Another.\n"
    fault = run(steps, others={"other.yaml": OTHER}).only
    assert (fault.rule, fault.message.startswith(message)) == ("graph/unknown-name", True), fault.message
    assert at(fault).line == 5


def test_all_keys_are_looked_at_even_if_the_first_does_not_hold():
    steps = "- {do: A step., when: {fitted: tank, unit: U9}}\n- do: Another.\n"
    found = run(steps, others={"other.yaml": OTHER})
    assert [f.message.split()[0] for f in found.findings] == ["`U9`"]


def test_a_procedure_of_which_nothing_applies_is_an_error():
    fault = run("- {do: A step., when: {fitted: tank}}\n", others={"other.yaml": OTHER}).only
    assert (fault.rule, str(fault.span)) == ("file/schema", "p.yaml:1:12")
    assert fault.message == "No step of this procedure applies to this unit."
