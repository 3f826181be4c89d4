"""What names mean at a place: blocks, takes, hidden and reserved names, conditions, starts and leaves."""

import pytest

from proctool.resolve.scope import RESERVED
from tests.resolve.small import LIBRARY, UNIT, at, run


def use(block, more="", **library):
    return run(f"- use: b\n{more}", blocks={"b": block}, **library)


class TestBlocks:
    def test_takes_is_given_by_with(self):
        block = "takes: [what]\nsteps: [{each: {x: what}, steps: [{open: x}]}]\n"
        assert use(block, "  with: {what: [second, H1]}\n").acts == ["open second", "open first"]

    def test_opens_is_the_procedures_own_unless_given(self):
        block = "takes: [opens]\nsteps: [{open: opens}]\n"
        assert use(block, head="opens: [first]\n").acts == ["open first"]
        assert use(block, "  with: {opens: second}\n", head="opens: [first]\n").acts == ["open second"]

    def test_a_block_hands_its_own_names_on(self):
        inner = "takes: [what]\nsteps: [{open: what}]\n"
        outer = "takes: [rooms]\nsteps: [{each: {x: rooms}, steps: [{use: inner, with: {what: x}}]}]\n"
        steps = "- use: outer\n  with: {rooms: [first, second]}\n"
        found = run(steps, blocks={"inner": inner, "outer": outer})
        assert found.ids == ["outer/first/inner/open-what", "outer/second/inner/open-what"]
        assert found.acts == ["open first", "open second"]

    @pytest.mark.parametrize(
        ("takes", "message"),
        [
            ("what", "Block `b` takes `what`: give it with `with: {what: …}`."),
            (
                "opens",
                "Block `b` takes `opens`: give it with `with: {opens: …}`, or say `opens` at the head of",
            ),
        ],
    )  # fmt: skip
    def test_what_is_not_given_is_an_error(self, takes, message):
        fault = use(f"takes: [{takes}]\nsteps: [{{open: {takes}}}]\n").only
        assert (fault.rule, str(fault.span)) == ("graph/unknown-name", "p.yaml:5:10")
        assert fault.message.startswith(message)

    def test_what_it_does_not_take_is_an_error(self):
        block = "takes: [what]\nsteps: [{open: what}]\n"
        fault = use(block, "  with: {what: first, waht: second}\n").only
        assert (str(fault.span), fault.message) == (
            "p.yaml:6:25",
            "`waht` is no name that block `b` takes. Did you mean `what`?",
        )

    @pytest.mark.parametrize(
        "step", ["{open: x}", "{do: Open the <x>.}", "{each: {y: x}, steps: [{open: y}]}"]
    )
    def test_a_block_does_not_see_the_names_around_it(self, step):
        steps = "- each: {x: [first]}\n  steps: [{use: b}]\n"
        fault = run(steps, blocks={"b": f"steps: [{step}]\n"}).only
        assert (fault.rule, at(fault).file) == ("graph/unknown-name", "b.yaml")
        assert fault.message.startswith("`x` is no ")

    @pytest.mark.parametrize(
        "step",
        [
            "{do: See the <mine>.}",
            "{do: So., makes: {mine: done}}",
            "{do: So., needs: {mine: done}}",
            "{open: opens}",
        ],
    )
    def test_nor_the_conditions_and_opens_of_the_procedure(self, step):
        head = "opens: [first]\nconditions: {mine: [open, done]}\n"
        fault = run("- use: b\n", head=head, blocks={"b": f"steps: [{step}]\n"}).only
        assert (fault.rule, at(fault).file) == ("graph/unknown-name", "b.yaml")

    def test_it_sees_the_unit_and_the_library(self):
        block = (
            "steps: [{do: 'Use the <wrench> at <first>, <restart>, <towel>.', makes: {towel: in_place}}]\n"
        )
        (step,) = use(block).steps
        assert step.text == "Use the strap wrench at first housing H1, 10 s, towel."
        assert step.makes == (("towel", "in_place"),)

    def test_an_unknown_block(self):
        fault = run("- use: make-saef\n", blocks={"make-safe": "steps: [{do: So.}]\n"}).only
        assert (fault.rule, str(fault.span)) == ("graph/unknown-name", "p.yaml:5:10")
        assert fault.message == "`make-saef` is no block of this library. Did you mean `make-safe`?"

    @pytest.mark.parametrize(
        ("blocks", "chain"),
        [
            ({"a": "steps: [{use: a}]\n"}, "a → a"),
            ({name: f"steps: [{{use: {other}}}]\n" for name, other in ("ab", "bc", "cb")}, "b → c → b"),
            ({"a": "steps: [{check: So?, otherwise: {steps: [{use: a}], continue: true}}]\n"}, "a → a"),
        ],
    )  # fmt: skip
    def test_blocks_that_need_each_other(self, blocks, chain):
        fault = run("- use: a\n", blocks=blocks).only
        assert (fault.rule, fault.message) == ("file/cycle", f"Blocks need each other: {chain}.")

    def test_a_block_may_be_used_again_in_what_happens_when_a_check_fails(self):
        safe = "steps: [{check: Zero?, id: zero, otherwise: {end_here: Stop.}}]\n"
        steps = "- use: safe\n- {check: Tight?, id: c, otherwise: {steps: [{use: safe}], continue: true}}\n"
        assert run(steps, blocks={"safe": safe}).every_id == ["safe/zero", "c", "c/otherwise/safe/zero"]


class TestHiddenNames:
    @pytest.mark.parametrize(
        ("name", "hides"),
        [
            *((word, "a word of `when`") for word in sorted(RESERVED)),
            ("first", "a part of this unit"),
            ("V1", "a part of this unit"),
            ("restart", "a fact of the unit"),
            ("wrench", "a thing that the library names"),
            ("o_ring", "a thing that the library names"),
            ("glasses", "a thing that the library names"),
            ("towel", "a condition"),
        ],
    )
    def test_neither_each_nor_takes_may_hide_a_name(self, name, hides):
        message = f"`{name}` hides {hides}. Choose another name."
        fault = run(f"- each: {{{name}: [pump]}}\n  steps: [{{do: So.}}]\n").only
        assert (fault.rule, fault.message, str(fault.span)) == ("graph/hidden-name", message, "p.yaml:5:12")
        block = f"takes: [{name}]\nsteps: [{{do: So.}}]\n"
        fault = use(block, f"  with: {{{name}: [pump]}}\n").only
        assert (fault.rule, fault.message, str(fault.span)) == ("graph/hidden-name", message, "b.yaml:2:9")

    def test_nor_a_name_given_around_it(self):
        steps = "- each: {x: [first]}\n  steps:\n    - each: {x: [second]}\n      steps: [{do: So.}]\n"
        assert run(steps).only.message == "`x` hides a name given around it. Choose another name."
        steps = "- each: {opens: [first]}\n  steps: [{do: So.}]\n"
        fault = run(steps, head="opens: [first]\n").only
        assert fault.message == "`opens` hides a name given around it. Choose another name."

    def test_two_lists_side_by_side_may_use_one_name(self):
        each = "- each: {x: [first]}\n  id: ID\n  steps: [{do: So.}]\n"
        assert run(each.replace("ID", "a") + each.replace("ID", "b")).ids == ["a/first/so", "b/first/so"]

    @pytest.mark.parametrize(
        ("unit", "message"),
        [
            (UNIT.replace("insert", "wrench"), "`wrench` hides a thing"),
            (UNIT.replace("tag: V5", "tag: o_ring"), "`o_ring` hides a thing"),
            (UNIT.replace("tag: V5", "tag: restart"), "`restart` hides a fact of the unit."),
            (UNIT.replace("  restart:", "  wrench:"), "`wrench` hides a thing"),
        ],
    )  # fmt: skip
    def test_a_unit_may_not_hide_what_the_library_names(self, unit, message):
        fault = run("- {do: So.}\n", unit=unit).only
        assert (fault.rule, at(fault).file) == ("graph/hidden-name", "unit.yaml")
        assert fault.message.startswith(message)

    @pytest.mark.parametrize(
        ("head", "message"),
        [
            ("conditions: {towel: [a, b]}\n", "Condition `towel` is declared in the library too."),
            ("conditions: {pump: [a, b]}\n", "Condition `pump` hides a part of this unit."),
        ],
    )
    def test_nor_may_a_condition(self, head, message):
        fault = run("- {do: So.}\n", head=head).only
        assert (fault.rule, fault.message) == ("graph/hidden-name", message)


class TestConditions:
    def test_they_are_those_of_the_library_and_the_procedure(self):
        found = run(
            "- {do: So., makes: {mine: done, towel: in_place}}\n", head="conditions: {mine: [open, done]}\n"
        )
        assert found.steps[0].makes == (("mine", "done"), ("towel", "in_place"))
        assert found.plan is not None
        assert dict(found.plan.conditions) == {"towel": ("away", "in_place"), "mine": ("open", "done")}

    @pytest.mark.parametrize(
        ("step", "message"),
        [
            (
                "makes: {towle: in_place}",
                "`towle` is no condition that is declared here. Did you mean `towel`?",
            ),
            (
                "makes: {towel: inplace}",
                "`inplace` is no value of condition `towel`. Did you mean `in_place`?",
            ),
            (
                "needs: {towel: inplace}",
                "`inplace` is no value of condition `towel`. Did you mean `in_place`?",
            ),
            (
                "needs: {towle: away}",
                "`towle` is no part of this unit and no condition. Did you mean `towel`?",
            ),
        ],
    )
    def test_unknown_ones(self, step, message):
        assert run(f"- {{do: So., {step}}}\n").only.message == message

    def test_on_a_group_needs_go_to_its_first_step_and_makes_to_its_last(self):
        steps = """\
            - id: g
              needs: {inlet: closed}
              makes: {towel: in_place}
              steps: [{do: A., id: a}, {do: B., id: b}]
            """
        first, last = run(steps).steps
        assert [(n.name, n.word) for n in first.needs] == [("inlet", "closed")]
        assert (first.makes, last.needs, last.makes) == ((), (), (("towel", "in_place"),))

    def test_makes_on_a_group_without_one_last_step(self):
        steps = "- any_order: [{do: A., id: a}, {do: B., id: b}]\n  makes: {towel: in_place}\n"
        fault = run(steps).only
        assert fault.message == "This group has no one last step: put `makes` on a step."


NEEDS = [
    ("inlet", "closed open part_open locked"),
    ("plug", "unplugged plugged_in locked"),
    ("button1", "open shut closed"),
    ("first", "open shut live relieved proven leak_checked"),
    ("pump", "running stopped"),
]


class TestWords:
    @pytest.mark.parametrize(("part", "word"), [(p, w) for p, words in NEEDS for w in words.split()])
    def test_of_needs(self, part, word):
        (step,) = run(f"- {{do: So., needs: {{{part}: {word}}}}}\n").steps
        assert [(n.name, n.word) for n in step.needs] == [(part, word)]

    @pytest.mark.parametrize(
        ("part", "word", "expected"),
        [
            ("inlet", "opened", "closed, locked, open, part_open, shut. Did you mean `open`?"),
            ("inlet", "off", "closed, locked, open, part_open, shut."),
            ("plug", "closed", "locked, plugged_in, shut, unplugged."),
            ("first", "running", "leak_checked, live, open, proven, relieved, shut."),
            ("first", "locked", "leak_checked, live, open, proven, relieved, shut."),
            ("button1", "locked", "closed, open, shut."),
            ("insert", "live", "open, shut."),
        ],
    )
    def test_one_that_cannot_be_said_is_told_with_those_that_can(self, part, word, expected):
        fault = run(f"- {{do: So., needs: {{{part}: {word}}}}}\n").only
        assert fault.rule == "graph/unknown-name"
        assert fault.message.startswith(f"`{word}` cannot be said of `{part}`, which is a ")
        assert fault.message.endswith("; expected one of " + expected)

    def test_several_words_and_a_name_of_an_each(self):
        steps = "- each: {x: [inlet]}\n  steps: [{do: So., needs: {x: [closed, locked]}}]\n"
        (step,) = run(steps).steps
        assert [(n.name, n.word) for n in step.needs] == [("inlet", "closed"), ("inlet", "locked")]

    def test_of_starts_and_leaves(self):
        head = "starts: {V1: [closed, locked], pump: stopped}\n"
        head += "leaves: {first: [open, unchecked], plug: unplugged}\n"
        plan = run("- {do: So.}\n", head=head).plan
        assert plan is not None
        assert dict(plan.starts) == {"inlet": ("closed", "locked"), "pump": ("stopped",)}
        assert dict(plan.leaves) == {"first": ("open", "unchecked"), "plug": ("unplugged",)}

    @pytest.mark.parametrize(
        ("head", "message"),
        [
            ("starts: {inlte: closed}\n", "`inlte` is no part of this unit. Did you mean `inlet`?"),
            ("starts: {inlet: shut_off}\n", "`shut_off` cannot be said of `inlet`"),
            ("starts: {first: unchecked}\n", "`unchecked` cannot be said of `first`"),
            ("leaves: {first: relieved}\n", "`relieved` cannot be said of `first`"),
            ("leaves: {first: running}\n", "`running` cannot be said of `first`"),
        ],
    )
    def test_wrong_ones(self, head, message):
        fault = run("- {do: So.}\n", head=head).only
        assert (fault.rule, at(fault).line) == ("graph/unknown-name", 4)
        assert fault.message.startswith(message)


class TestWarnings:
    DANGER = "{word: warning, hazard: Hot., harm: Burns., avoid: Wait.}"

    def test_a_danger_of_the_library_or_the_procedure(self):
        library = LIBRARY + f"dangers: {{hot: {self.DANGER}}}\n"
        head = f"dangers: {{wet: {self.DANGER.replace('Hot', 'Wet')}}}\n"
        (step,) = run("- {do: So., warn: [hot, wet]}\n", library=library, head=head).steps
        assert [danger.hazard for danger in step.dangers] == ["Hot.", "Wet."]

    def test_an_unknown_one(self):
        fault = run("- {do: So., warn: hott}\n", head=f"dangers: {{hot: {self.DANGER}}}\n").only
        assert fault.message == "`hott` is no danger of this procedure or library. Did you mean `hot`?"


def test_an_unknown_part_to_open():
    fault = run("- {do: So.}\n", head="opens: [first, secnod]\n").only
    assert (str(fault.span), fault.message) == (
        "p.yaml:4:16",
        "`secnod` is no part of this unit. Did you mean `second`?",
    )
