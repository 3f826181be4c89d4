"""Small files that would grow without end: they end quickly, as one finding."""

import time
from textwrap import indent

import pytest

from proctool.resolve.scope import DEPTH_LIMIT, ENTRY_LIMIT, STEP_LIMIT
from tests.resolve.small import UNIT, run

MANY = UNIT.replace("  pump:", "".join(f"  c{i}: {{role: component}}\n" for i in range(23)) + "  pump:")
MANY = MANY.replace(
    "path: [socket, plug, pump]", f"path: [socket, plug, pump, {', '.join(f'c{i}' for i in range(23))}]"
)
"""26 components."""


def nested(depth, leaf="- do: A step.\n"):
    """An `each` over all components in an `each` over all components, and so on."""
    for i in reversed(range(depth)):
        leaf = f"- each: {{n{i}: {{all: component}}}}\n  steps:\n{indent(leaf, '    ')}"
    return leaf


GONE = "- {do: A step., when: {lockout: exclusive_control}}\n"
DOUBLING = {f"b{i}": f"steps: [{{use: b{i + 1}, id: x}}, {{use: b{i + 1}, id: y}}]\n" for i in range(30)}
FAILING = {
    f"b{i}": "steps:\n"
    + "".join(
        f"  - {{check: {c}?, otherwise: {{steps: [{{use: b{i + 1}}}], continue: true}}}}\n"
        for c in ("So", "Then")
    )
    for i in range(30)
}
LEAF = {"b30": "steps: [{do: A step.}]\n"}
NOTHING = {"b30": f"steps:\n  {GONE}"}
FOUR_NAMES = (
    "- each: {a: {all: component}, b: {all: component}, c: {all: component}, d: {all: component}}\n"
    "  steps: [{do: A step.}]\n"
)
STEPS = f"More than {STEP_LIMIT:,} steps come of this procedure on this unit."
ENTRIES = f"More than {ENTRY_LIMIT:,} entries come of this procedure on this unit."


@pytest.mark.parametrize(
    ("steps", "blocks", "message"),
    [
        (nested(3), {}, STEPS),
        (nested(8), {}, STEPS),
        (nested(8, GONE), {}, ENTRIES),
        (FOUR_NAMES, {}, ENTRIES),
        ("- use: b0\n", DOUBLING | LEAF, STEPS),
        ("- use: b0\n", DOUBLING | NOTHING, ENTRIES),
        ("- use: b0\n", FAILING | LEAF, STEPS),
    ],
    ids=["three deep", "eight deep", "eight deep, nothing applies", "four names", "doubling blocks",
         "doubling blocks, nothing applies", "blocks in what happens when checks fail"],
)  # fmt: skip
def test_copies_that_multiply_end_quickly(steps, blocks, message):
    start = time.process_time()
    fault = run(steps, unit=MANY, blocks=blocks).only
    assert (fault.rule, fault.message) == ("file/limit", message)
    assert fault.help == "Blocks or the copies of `each` multiply here."
    assert time.process_time() - start < 10


def test_as_many_steps_as_are_allowed_are_resolved():
    steps = nested(2, "".join(f"- {{do: A step., id: s{i}}}\n" for i in range(7)))
    found = run(steps, unit=MANY)
    assert len(found.steps) == 26 * 26 * 7 < STEP_LIMIT
    assert found.plan is not None
    assert found.plan.frame.before[-1] == (1 << len(found.steps) - 1) - 1


def test_a_tower_of_blocks_ends_as_a_finding():
    tower = {f"b{i}": f"steps: [{{use: b{i + 1}}}]\n" for i in range(1200)}
    fault = run("- use: b0\n", blocks=tower | {"b1200": "steps: [{do: A step.}]\n"}).only
    assert fault.rule == "file/limit"
    assert fault.message == f"Groups, blocks and `otherwise` lie more than {DEPTH_LIMIT} levels deep here."


def test_a_tower_of_failing_checks_ends_as_a_finding():
    check = "steps: [{{check: So?, otherwise: {{steps: [{{use: b{}}}], continue: true}}}}]\n"
    tower = {f"b{i}": check.format(i + 1) for i in range(1200)}
    fault = run("- use: b0\n", blocks=tower | {"b1200": "steps: [{do: A step.}]\n"}).only
    assert fault.rule == "file/limit"
