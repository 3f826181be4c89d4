"""What was dosed stands, is flushed out and tested in every order and by every way out of a check."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules import example

CLEAN = (Path(__file__).parent / "residue-untested/good.yaml").read_text(encoding="utf-8")
TEST = "  - read: {what: Chlorine in the water by the test strip, within: 0 to 0.5 mg/L}\n    id: residue\n"
ENDS = "    otherwise: {end_here: Drain the tank. Call for help.}\n"
POUR = "do: Pour 0.5 L of disinfectant into the <tank> and stir it."
WAIT = "  - wait: 30 min\n"
MORE = "{do: Pour 0.1 L more into the <tank>., id: more, dose: {part: tank, energy: chlorine}}"
AGAIN = "steps: [{do: Fill the <tank> once more., id: again, flush: tank}]"
STRONG = "  - check: The strip shows 50 mg/L.\n    id: strong\n    otherwise: "
IN_BETWEEN = "residue/otherwise/again"


def found(*changes: tuple[str, str]) -> set[tuple[str, str | None]]:
    """What the chemical pack finds in the clean fixture with some texts replaced."""
    text = CLEAN
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    findings = example.check(example.fixture(text)[0]).findings
    assert not [f.message for f in findings if f.rule.startswith("file/")]
    return {(f.rule, f.step) for f in findings if f.rule.startswith("chemical/")}


UNTESTED, UNSTOOD = "chemical/residue-untested", "chemical/contact-time"
FLUSHED = "fill-tank"


@pytest.mark.parametrize(
    ("changes", "findings"),
    [
        ([], set()),
        ([(TEST + ENDS, "")], {(UNTESTED, FLUSHED)}),
        ([("within: 0 to 0.5 mg/L", "within: 0.4 mg/L or less")], set()),
        ([("within: 0 to 0.5 mg/L", "within: 0.1 mg/L or more")], {(UNTESTED, FLUSHED)}),
        ([("within: 0 to 0.5 mg/L", "within: 0 to 0.5 bar")], {(UNTESTED, FLUSHED)}),
        # A test beside the flushing may come before it.
        ([(TEST, TEST + "    after: []\n")], {(UNTESTED, FLUSHED)}),
        # Going on after a rest was found asks for a new test; going back to it, or stopping, does not.
        ([(ENDS, f"    otherwise: {{{AGAIN}, continue: true}}\n")], {(UNTESTED, IN_BETWEEN)}),
        ([(ENDS, f"    otherwise: {{{AGAIN}, back_to: residue}}\n")], set()),
        ([(ENDS, f"    otherwise: {{{AGAIN}, end_here: Call for help.}}\n")], set()),
        ([(WAIT, "")], {(UNSTOOD, "pour-tank")}),
        ([(WAIT, ""), (TEST, WAIT + TEST)], {(UNSTOOD, "pour-tank")}),
        ([(WAIT, ""), (POUR, "wait: 30 min")], set()),
        # More of it, and then the wait again; or the flushing at once.
        ([(WAIT, STRONG + f"{{steps: [{MORE}], back_to: strong}}\n" + WAIT)], set()),
        (
            [(WAIT, WAIT + STRONG + f"{{steps: [{MORE}], continue: true}}\n")],
            {(UNSTOOD, "strong/otherwise/more")},
        ),
    ],
)
def test_ways(changes, findings):
    assert found(*changes) == findings
