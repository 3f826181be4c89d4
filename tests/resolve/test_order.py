"""Which step comes before which."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.resolve.small import at, run


def step(name, more=""):
    return f"{{do: A step., id: {name}{', ' + more if more else ''}}}"


def pairs(*entries, **more):
    return run("".join(f"- {entry}\n" for entry in entries), **more).pairs


def test_an_entry_follows_all_above_it():
    assert pairs(step("a"), step("b"), step("c")) == {"a < b", "a < c", "b < c"}


@pytest.mark.parametrize(
    ("after", "expected"),
    [
        ("after: a", {"a < b", "a < c"}),
        ("after: [a, b]", {"a < b", "a < c", "b < c"}),
        ("after: []", {"a < b"}),
    ],
)
def test_after_names_what_comes_before(after, expected):
    assert pairs(step("a"), step("b"), step("c", after)) == expected


def test_after_may_name_what_is_written_below():
    assert pairs(step("a", "after: b"), step("b", "after: []")) == {"b < a"}


def test_order_goes_on_through_others():
    found = pairs(step("a"), step("b", "after: a"), step("c", "after: b"), step("d", "after: []"))
    assert found == {"a < b", "a < c", "b < c"}


def test_a_group_in_after_means_all_of_its_steps():
    group = f"{{id: g, steps: [{step('x')}, {step('y')}]}}"
    found = pairs(step("a"), group, step("c", "after: g"))
    assert found == {"a < g/x", "a < g/y", "g/x < g/y", "g/x < c", "g/y < c", "a < c"}


def test_a_block_in_after_means_all_of_its_steps():
    block = {"b": "steps: [{do: Say it.}, {do: Hear it.}]\n"}
    found = pairs("{use: b, after: []}", step("c", "after: b"), step("d", "after: []"), blocks=block)
    assert found == {"b/say < b/hear", "b/say < c", "b/hear < c"}


def test_one_copy_of_an_each_can_be_named():
    each = f"{{each: {{x: [first, second]}}, order: any, steps: [{step('s')}]}}"
    assert pairs(each, step("c", "after: first")) == {"first/s < c"}


def test_any_order_has_none():
    group = f"{{any_order: [{step('a')}, {step('b')}]}}"
    assert pairs(step("z"), group, step("c")) == {
        *("z < a", "z < b", "z < c"),
        *("a < c", "b < c"),
    }


def test_after_orders_inside_an_any_order():
    group = f"{{any_order: [{step('a')}, {step('b', 'after: a')}, {step('c')}]}}"
    assert pairs(group) == {"a < b"}


def test_groups_in_an_any_order_keep_the_order_inside():
    groups = [f"{{id: {g}, steps: [{step('x')}, {step('y')}]}}" for g in ("g", "h")]
    assert pairs(f"{{any_order: [{', '.join(groups)}]}}") == {"g/x < g/y", "h/x < h/y"}


class TestEmpty:
    """An entry that expands to nothing passes its order on."""

    GONE = "when: {lockout: exclusive_control}"

    def test_a_step_that_does_not_apply(self):
        entries = (step("a"), step("b", self.GONE), step("c", "after: b"))
        assert pairs(*entries) == {"a < c"}

    def test_several_in_a_row(self):
        entries = (
            step("a"),
            step("b", f"{self.GONE}, after: a"),
            step("c", f"{self.GONE}, after: b"),
            step("d", "after: c"),
        )
        assert pairs(*entries) == {"a < d"}

    def test_an_each_over_nothing(self):
        each = "{each: {x: {vents_of: pump}}, id: none, steps: [{vent: x}]}"
        assert pairs(step("a"), each, step("c", "after: none")) == {"a < c"}

    def test_one_that_is_free_from_the_start_passes_nothing_on(self):
        entries = (step("a"), step("b", f"{self.GONE}, after: []"), step("c", "after: b"))
        assert pairs(*entries) == set()

    def test_one_copy_of_an_each_that_is_empty(self):
        each = (
            "{each: {x: [inlet, plug]}, order: any, steps: "
            "[{do: A step., id: s, when: {x: {device: valve}}}]}"
        )
        assert pairs(step("a"), each, step("c", "after: plug")) == {"a < inlet/s", "a < c"}


class TestFaults:
    @pytest.mark.parametrize(
        ("entries", "place", "message"),
        [
            ([step("a", "after: b")], "5:33", "`b` is no id in this list of steps."),
            ([step("alpha"), step("b", "after: alhpa")], "6:33", "Did you mean `alpha`?"),
            (
                [f"{{id: g, steps: [{step('x')}]}}", step("b", "after: x")],
                "6:33",
                "`x` is no id in this list",
            ),
        ],
    )
    def test_after_knows_the_ids_of_its_own_list_only(self, entries, place, message):
        fault = run("".join(f"- {entry}\n" for entry in entries)).only
        assert (fault.rule, str(fault.span)) == ("graph/unknown-name", f"p.yaml:{place}")
        assert message in fault.message

    @pytest.mark.parametrize(
        ("entries", "cycle", "line"),
        [
            ([step("a", "after: a")], "a → a", 5),
            ([step("a", "after: b"), step("b")], "a → b → a", 5),
            ([step("z"), step("a", "after: c"), step("b"), step("c")], "a → c → a", 6),
            (
                [step("a", "after: b"), step("b", "after: c"), step("c", "after: a")],
                "a → b → c → a",
                5,
            ),
            ([step("a", "after: g"), f"{{id: g, steps: [{step('x')}]}}"], "a → g/x → a", 5),
            ([f"{{any_order: [{step('a', 'after: b')}, {step('b', 'after: a')}]}}"], "a → b → a", 5),
        ],
    )
    def test_a_cycle_is_shown_at_the_step_that_waits_for_a_later_one(self, entries, cycle, line):
        fault = run("".join(f"- {entry}\n" for entry in entries)).only
        assert fault.rule == "graph/cycle"
        assert at(fault).line == line
        assert fault.message == f"Each of these steps waits for the next: {cycle}. Cut one `after`."

    def test_a_long_cycle_is_shown_by_its_shortest_way(self):
        many = [step(f"s{i}") for i in range(50)]
        fault = run("".join(f"- {e}\n" for e in [step("a", "after: s49"), *many])).only
        assert "next: a → s49 → a. " in fault.message

    def test_a_cycle_brings_no_other_findings(self):
        back = "{check: All well?, id: c, otherwise: {back_to: a}}"
        assert run(f"- {step('a', 'after: b')}\n- {step('b')}\n- {back}\n").only.rule == "graph/cycle"


@given(st.lists(st.lists(st.integers(0, 7), max_size=3), min_size=2, max_size=8))
def test_the_order_is_the_closure_of_what_is_written(afters):
    """Against a closure worked out plainly; a step that comes before itself makes a cycle."""
    afters = [sorted({j for j in after if j < len(afters)}) for after in afters]
    entries = [step(f"s{i}", f"after: [{', '.join(f's{j}' for j in a)}]") for i, a in enumerate(afters)]
    reached = {(j, i) for i, after in enumerate(afters) for j in after}
    for _ in afters:
        reached |= {(a, d) for a, b in reached for c, d in reached if b == c}
    found = run("".join(f"- {entry}\n" for entry in entries))
    if any(a == b for a, b in reached):
        assert found.only.rule == "graph/cycle"
    else:
        assert found.pairs == {f"s{a} < s{b}" for a, b in reached}
