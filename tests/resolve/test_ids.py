"""Path ids of resolved steps: made of words and parts, never of numbers."""

import pytest

from tests.resolve.small import at, run


@pytest.mark.parametrize(
    ("step", "step_id"),
    [
        ("{do: Wash it., id: by-hand}", "by-hand"),
        ("{do: Wash it.}", "wash"),
        ("{do: Unscrew the <first>., open: first}", "unscrew-first"),
        ("{do: Open both., open: [first, second]}", "open"),
        ("{do: Turn it., isolate: inlet, lock: inlet}", "turn-inlet"),
        ("{do: Turn both., isolate: inlet, lock: plug}", "turn"),
        ("{do: Take it., remove: cartridge}", "take"),
        ("{do: '<first> is out.'}", "first"),
        ("{do: Don't wait.}", "dont"),
        ("{do: Öffnen Sie ihn.}", "offnen"),
        ("{do: 打开}", "do"),
        ("{check: «Is» it dry?}", "is"),
        ("{check: '… so.'}", "check"),
        ("{open: first}", "open-first"),
        ("{open: H1}", "open-H1"),
        ("{isolate: [inlet, plug]}", "isolate-inlet-plug"),
        ("{close: inlet}", "close-inlet"),
        ("{isolate: inlet, lock: inlet}", "isolate-inlet"),
        ("{acts: [{isolate: inlet}, {lock: inlet}]}", "isolate-inlet"),
        ("{verify_zero: {part: first, by: gauge1}}", "verify_zero-first"),
        ("{tell: crew}", "tell-crew"),
        ("{tell: the line supervisor}", "tell-the-line-supervisor"),
        ("{read: gauge2}", "read-gauge2"),
        ("{read: {what: Warmth of the room, within: 15 to 25 °C}}", "warmth"),
        ("{wait: 5 min}", "wait"),
    ],
)
def test_an_id_comes_from_the_text_or_the_act(step, step_id):
    assert run(f"- {step}\n").ids == [step_id]


def test_the_name_in_an_id_is_the_one_that_is_written():
    steps = "- each: {way_out: {vents_of: first}}\n  steps:\n    - vent: way_out\n"
    assert run(steps).ids == ["button1/vent-way_out"]


MAKE_SAFE = """\
takes: [opens]
steps:
  - each: {device: {isolators_of: opens}}
    steps:
      - isolate: device
        lock: device
"""


def test_the_ids_that_the_file_format_promises():
    steps = """\
        - use: make-safe
        - each: {housing: opens}
          id: open-up
          steps:
            - do: Unscrew the <housing>.
              open: housing
            - check: Look at the seal.
              otherwise:
                steps: [{use: make-safe}]
                back_to: open-up
                then: {steps: [{do: Stop it.}], end_here: Call.}
        """
    assert run(steps, head="opens: [first]\n", blocks={"make-safe": MAKE_SAFE}).every_id == [
        "make-safe/inlet/isolate-device",
        "make-safe/plug/isolate-device",
        "open-up/first/unscrew-housing",
        "open-up/first/look",
        "open-up/first/look/otherwise/make-safe/inlet/isolate-device",
        "open-up/first/look/otherwise/make-safe/plug/isolate-device",
        "open-up/first/look/then/stop",
    ]


def test_a_then_in_a_then():
    steps = """\
        - check: Look.
          id: look
          otherwise:
            back_to: look
            then:
              back_to: look
              then: {steps: [{do: Stop.}], end_here: Call.}
        """
    assert run(steps).every_id == ["look", "look/then/then/stop"]


@pytest.mark.parametrize(
    ("entry", "ids"),
    [
        ("{steps: [{do: Wash it.}]}", ["wash"]),
        ("{id: g, steps: [{do: Wash it.}]}", ["g/wash"]),
        ("{title: Clean up, steps: [{do: Wash it.}]}", ["clean/wash"]),
        ("{any_order: [{do: Wash it.}, {do: Dry it.}]}", ["wash", "dry"]),
        ("{id: g, any_order: [{do: Wash it.}, {do: Dry it.}]}", ["g/wash", "g/dry"]),
        ("{use: b}", ["b/say"]),
        ("{use: b, id: mine}", ["mine/say"]),
        ("{each: {x: [first]}, steps: [{do: Wash it.}]}", ["first/wash"]),
        ("{each: {x: [first], y: [inlet]}, id: e, steps: [{do: Wash it.}]}", ["e/first-inlet/wash"]),
    ],
)
def test_groups_blocks_and_copies(entry, ids):
    assert run(f"- {entry}\n", blocks={"b": "steps: [{do: Say it.}]\n"}).ids == ids


def test_one_check_for_each_energy_of_a_part():
    from tests.resolve.small import UNIT

    unit = UNIT.replace("  socket:", "  tester: {role: gauge, at: any, energy: mains}\n  socket:")
    unit = unit.replace("path: [socket, plug, pump]", "path: [socket, plug, pump, first]")
    assert run("- verify_zero: first\n", head="opens: [first]\n", unit=unit).ids == [
        "verify_zero-first/water",
        "verify_zero-first/mains",
    ]


EACH = "- each: {x: [first]}\n  steps: [{do: Look at it.}]\n"


class TestClashes:
    @pytest.mark.parametrize(
        ("steps", "place", "name"),
        [
            ("- do: Open it.\n- do: Open that.\n", "6:5", "open"),
            ("- {do: A it., id: x}\n- {do: B it., id: x}\n", "6:21", "x"),
            (EACH + EACH, "7:5", "first"),
            ("- {id: g, steps: [{do: Open it.}, {do: Open that.}]}\n", "5:38", "g/open"),
        ],
    )
    def test_two_entries_with_one_id_ask_for_another(self, steps, place, name):
        fault = run(steps).only
        assert fault.rule == "graph/duplicate-id"
        assert str(fault.span) == f"p.yaml:{place}"
        assert fault.message == f"Two entries have the id `{name}`. Give one of them an `id` of its own."
        assert [r.label for r in fault.related] == ["the first one"]
        assert fault.related[0].span < at(fault)

    def test_a_block_used_twice_is_told_once_and_not_for_each_of_its_steps(self):
        block = {"b": "steps: [{do: Say it.}, {do: Hear it.}]\n"}
        fault = run("- use: b\n- use: b\n", blocks=block).only
        assert "`b`" in fault.message

    def test_with_an_id_of_its_own_it_is_well(self):
        block = {"b": "steps: [{do: Say it.}]\n"}
        assert run("- use: b\n- {use: b, id: again}\n", blocks=block).ids == ["b/say", "again/say"]
