"""What happens when a check fails: `otherwise`, where it holds, and where it leads back to."""

import pytest

from proctool.model.plan import BackTo, Continue, EndHere
from tests.resolve.small import run


def endings(steps, **more):
    """For each main step that may fail: its id and how its `otherwise` ends."""
    return {step.id: step.otherwise.ending for step in run(steps, **more).steps if step.otherwise}


def back(steps, check, **more):
    """Where a check leads back to: frames up, and the ids of the steps of the main list that are undone."""
    found = run(steps, **more)
    ending = next(s.otherwise.ending for s in found.steps if s.id == check and s.otherwise)
    assert isinstance(ending, BackTo)
    return ending.levels, [s.id for i, s in enumerate(found.steps) if ending.undone >> i & 1]


def test_endings():
    steps = """\
        - {check: One?, id: one, otherwise: {continue: true}}
        - {check: Two?, id: two, otherwise: {end_here: Stop at the <first>.}}
        - {check: Three?, id: three, otherwise: {back_to: one, at_most: 3, then: {end_here: Stop.}}}
        - {check: Four?, id: four}
        - {read: gauge1, id: five}
        """
    found = endings(steps)
    assert found["one"] == Continue()
    assert found["two"] == EndHere("Stop at the first housing H1.")
    assert found["four"] == found["five"] == EndHere("")
    three = found["three"]
    assert isinstance(three, BackTo)
    assert (three.target, three.levels, three.at_most) == ("one", 0, 3)
    assert three.then is not None and three.then.ending == EndHere("Stop.")


def test_the_steps_of_an_otherwise_are_a_frame_of_their_own():
    steps = """\
        - check: Well?
          id: c
          otherwise:
            steps: [{do: A step., id: a}, {do: A step., id: b, after: []}]
            continue: true
        """
    (check,) = run(steps).steps
    assert check.otherwise is not None
    assert [s.id for s in check.otherwise.frame.steps] == ["c/otherwise/a", "c/otherwise/b"]
    assert check.otherwise.frame.before == (0, 0)


class TestWhereItHolds:
    """On a group or block it is for each check in it, at any depth, that has none."""

    INNER = """\
takes: [opens]
steps:
  - {check: Own?, id: own, otherwise: {continue: true}}
  - {check: None?, id: none}
  - each: {x: opens}
    steps:
      - {read: gauge1, id: deep}
      - {read: gauge2, id: never-fails}
  - check: Within?
    id: outer
    otherwise: {steps: [{check: Inside?, id: in}], continue: true}
"""

    @pytest.mark.parametrize(
        "around",
        [
            "{use: b, otherwise: {end_here: Group.}}",
            "{id: b, otherwise: {end_here: Group.}, steps: [{use: b, id: b}]}",
            "{each: {y: [pump]}, otherwise: {end_here: Group.}, steps: [{use: b}]}",
            "{any_order: [{use: b}], otherwise: {end_here: Group.}}",
        ],
    )
    def test_it_reaches_only_checks_that_have_none(self, around):
        found = run(f"- {around}\n", head="opens: [first]\n", blocks={"b": self.INNER})
        ends = {s.id.rsplit("/", 1)[-1]: s.otherwise.ending for s in found.steps if s.otherwise}
        assert ends == {
            "own": Continue(),
            "none": EndHere("Group."),
            "deep": EndHere("Group."),
            "outer": Continue(),
        }
        outer = found.steps[-1].otherwise
        assert outer is not None
        (inside,) = outer.frame.steps
        assert inside.otherwise is not None
        assert inside.otherwise.ending == EndHere(""), "not inside an `otherwise`"

    def test_the_inner_group_comes_first(self):
        steps = """\
            - id: g
              otherwise: {end_here: Outer.}
              steps:
                - {check: One?, id: one}
                - {id: h, otherwise: {end_here: Inner.}, steps: [{check: Two?, id: two}]}
            """
        assert endings(steps) == {"g/one": EndHere("Outer."), "g/h/two": EndHere("Inner.")}

    def test_its_steps_stand_under_each_check(self):
        steps = """\
            - id: g
              otherwise: {steps: [{do: Mend it.}], continue: true}
              steps: [{check: One?, id: one}, {check: Two?, id: two}]
            """
        assert run(steps).every_id == ["g/one", "g/one/otherwise/mend", "g/two", "g/two/otherwise/mend"]

    @pytest.mark.parametrize("step", ["do: Mend it.", "wait: 5 min", "isolate: inlet"])
    def test_on_a_step_that_never_fails_it_is_an_error(self, step):
        fault = run(f"- {{{step}, otherwise: {{continue: true}}}}\n").only
        assert fault.rule == "graph/act-unfit"
        assert fault.message == "This step never fails, so its `otherwise` is never used."
        assert fault.help == "Only a `check`, and a `read` with limits, may fail."

    def test_names_in_it_are_those_of_the_place_where_it_is_written(self):
        block = "takes: [x]\nsteps: [{check: Well?, id: c}]\n"
        steps = """\
            - each: {y: [first]}
              steps:
                - use: b
                  with: {x: second}
                  otherwise: {end_here: Stop at the <y>.}
            """
        assert endings(steps, blocks={"b": block}) == {"first/b/c": EndHere("Stop at the first housing H1.")}
        wrong = steps.replace("<y>", "<x>")
        assert run(wrong, blocks={"b": block}).only.message.startswith("`x` is no name")


GONE = "- {do: A., id: a, when: {lockout: exclusive_control}}\n"


class TestBackTo:
    def test_to_itself(self):
        steps = (
            "- {do: A step., id: a}\n- {check: Well?, id: c, otherwise: {back_to: c}}\n- {do: B., id: b}\n"
        )
        assert back(steps, "c") == (0, ["c", "b"])

    def test_to_what_comes_before_it(self):
        steps = (
            "- {do: Z., id: z}\n- {do: A step., id: a}\n- {check: Well?, id: c, otherwise: {back_to: a}}\n"
            "- {do: B., id: b}\n"
        )
        assert back(steps, "c") == (0, ["a", "c", "b"])

    def test_to_a_group_around_it(self):
        steps = """\
            - {do: Z., id: z}
            - id: g
              steps:
                - {do: A step., id: a}
                - {check: Well?, id: c, otherwise: {back_to: g}}
            """
        assert back(steps, "g/c") == (0, ["g/a", "g/c"])

    def test_to_a_block_above(self):
        steps = "- use: b\n- {check: Well?, id: c, otherwise: {back_to: b}}\n"
        blocks = {"b": "steps: [{do: Say., id: say}]\n"}
        assert back(steps, "c", blocks=blocks) == (0, ["b/say", "c"])

    def test_to_the_copies_of_an_each_and_to_one_of_them(self):
        steps = """\
            - each: {x: [first, second]}
              id: e
              order: any
              steps: [{do: See., id: s}]
            - {check: Well?, id: c, otherwise: {back_to: e}}
            """
        assert back(steps, "c") == (0, ["e/first/s", "e/second/s", "c"])
        bare = "".join(line for line in steps.splitlines(keepends=True) if "id: e" not in line)
        bare = bare.replace("back_to: e", "back_to: first")
        assert back(bare, "c") == (0, ["first/s", "c"])

    def test_it_undoes_what_follows_and_not_what_is_free_of_it(self):
        steps = """\
            - {do: A., id: a}
            - {do: B., id: b, after: []}
            - {check: Well?, id: c, after: a, otherwise: {back_to: a}}
            """
        assert back(steps, "c") == (0, ["a", "c"])

    def test_outward_from_an_otherwise(self):
        steps = """\
            - {do: A., id: a}
            - check: Well?
              id: c
              otherwise:
                steps:
                  - {check: Mended?, id: m, otherwise: {back_to: a}}
                continue: true
            """
        (_, check) = run(steps).steps
        assert check.otherwise is not None
        (mended,) = check.otherwise.frame.steps
        assert mended.otherwise is not None
        ending = mended.otherwise.ending
        assert isinstance(ending, BackTo)
        assert (ending.levels, ending.undone) == (1, 0b11)

    def test_the_nearest_of_two_names_is_meant(self):
        steps = """\
            - {do: A., id: a}
            - id: g
              steps:
                - {do: A., id: a}
                - {check: Well?, id: c, otherwise: {back_to: a}}
            """
        assert back(steps, "g/c") == (0, ["g/a", "g/c"])

    def test_written_on_a_block_it_is_sought_around_the_block(self):
        blocks = {"b": "steps: [{do: A., id: a}, {check: Well?, id: c}]\n"}
        steps = "- {do: A., id: a}\n- {use: b, otherwise: {back_to: a}}\n"
        assert back(steps, "b/c", blocks=blocks) == (0, ["a", "b/a", "b/c"])

    @pytest.mark.parametrize(
        ("steps", "message"),
        [
            (
                "- {check: Well?, id: c, otherwise: {back_to: aa}}\n- {do: A., id: a}\n",
                "`aa` is no id in this list of steps or one around it. Did you mean `a`?",
            ),
            (
                "- {check: Well?, id: c, otherwise: {back_to: a}}\n- {do: A., id: a}\n",
                "`a` does not come before `c` in every order: ",
            ),
            (
                "- {do: A., id: a}\n- {check: Well?, id: c, after: [], otherwise: {back_to: a}}\n",
                "`a` does not come before `c` in every order: ",
            ),
            (
                "- {id: g, steps: [{do: A., id: a}]}\n- {check: Well?, id: c, otherwise: {back_to: a}}\n",
                "`a` is no id in this list of steps or one around it.",
            ),
            (
                GONE + "- {check: Well?, id: c, otherwise: {back_to: a}}\n",
                "`a` has no steps on this unit: nothing to go back to.",
            ),
        ],
    )  # fmt: skip
    def test_other_targets_are_unknown_names(self, steps, message):
        fault = run(steps).only
        assert fault.rule == "graph/unknown-name"
        assert fault.message.startswith(message)

    def test_from_a_block_it_is_sought_outward_through_the_use_of_it(self):
        blocks = {"b": "steps: [{check: Well?, id: c, otherwise: {back_to: a}}]\n"}
        assert back("- {do: A., id: a}\n- use: b\n", "b/c", blocks=blocks) == (0, ["a", "b/c"])
