"""Fixes over a whole library: what is kept proves the same; what is not kept is told, with why."""

from dataclasses import replace

import pytest

from proctool.api import Library, unified
from proctool.fix import fix_library
from proctool.fix.sift import sifted
from proctool.model.verdict import Verdict
from tests.fix.small import changed, check, files, fixed
from tests.rules import example

TIGHT = changed("unit.yaml", "tighten: 20 N·m", "tighten: 20Nm")
NEEDS = changed(
    "procedure.yaml", "    open: housing\n", "    needs: {housing: relieved}\n    open: housing\n"
)
CUT = changed("procedure.yaml", "do: Screw the <housing> on.", "do: Note: screw the <housing> on.")


def rules(notes):
    return [note.rule for note in notes]


def test_faults_of_several_files_are_fixed_at_once():
    result = fixed(unit=TIGHT, procedure=NEEDS)
    assert rules(result.done) == ["graph/need-unsaid", "wording/unit-spacing"]
    assert set(result.after) == set(result.before) == {"procedure.yaml", "unit.yaml"}


def test_what_comes_to_light_is_fixed_in_the_same_run():
    text = CUT.replace("    open: housing\n", "    needs: {housing: relieved}\n    open: housing\n")
    result = fixed(procedure=text)
    assert rules(result.done) == ["graph/need-unsaid", "wording/cut-text"]
    assert "graph/need-unsaid" not in rules(check(files(procedure=text)).findings)  # it was hidden


def test_a_file_asked_for_is_fixed_alone():
    given = files(unit=TIGHT, procedure=NEEDS)
    result = fix_library(given, check, focus="unit.yaml")
    assert (set(result.after), rules(result.done), result.left) == (
        {"unit.yaml"},
        ["wording/unit-spacing"],
        (),
    )


@pytest.mark.parametrize("text", [NEEDS, CUT], ids=["what it says", "that it is read"])
def test_a_locked_file_is_told(text):
    given = files(procedure=text)
    result = fix_library(given, check, locked={"procedure.yaml": "it is read-only"})
    assert (dict(result.after), result.done) == ({}, ())
    assert [note.told for note in result.left] == ["it is read-only"]


class TestSameProof:
    """A check that answers otherwise after one change stands for a fault in a fix."""

    def test_another_verdict(self):
        def other(given):
            found = check(given)
            if b"20 N" in given["unit.yaml"]:
                unsafe = tuple(replace(v, verdict=Verdict.UNSAFE) for v in found.verdicts)
                return replace(found, verdicts=unsafe)
            return found

        result = fix_library(files(unit=TIGHT, procedure=NEEDS), other)
        assert rules(result.done) == ["graph/need-unsaid"]
        assert [note.told for note in result.left] == ["example on EX-1 would not prove the same"]

    def test_a_new_finding(self):
        finding = example.check({**example.clean(), "unit.yaml": TIGHT}).findings[0]

        def other(given):
            found = check(given)
            more = (replace(finding, rule="unit/new", message="There is something new."),)
            return (
                replace(found, findings=(*found.findings, *more))
                if b"proven]" in given["procedure.yaml"]
                else found
            )

        result = fix_library(files(unit=TIGHT, procedure=NEEDS), other)
        assert rules(result.done) == ["wording/unit-spacing"]
        assert [note.told for note in result.left] == ["it would bring unit/new: There is something new."]

    def test_a_proof_lost_by_reading_a_file(self):
        other = {"other": example.clean()["procedure.yaml"].replace("procedure: example", "procedure: other")}

        def lossy(given):
            found = check(given)
            whole = ">-" in given["procedure.yaml"].decode()
            return replace(found, verdicts=found.verdicts[:1]) if whole else found

        result = fix_library(files(procedure=CUT, **other), lossy)
        assert (dict(result.after), rules(result.left)) == ({}, ["wording/cut-text"])
        assert result.left[0].told == "other on EX-1 would not prove the same"

    def test_the_line_of_what_is_left_is_that_after_fixing(self):
        text = NEEDS.replace("{housing: relieved}", "\n      housing:\n        - relieved").replace(
            "do: Screw the <housing> on.", "do: Screw the <housing> on with the chain spanner."
        )
        result = fixed(procedure=text)
        (left,) = result.left
        assert left.rule == "content/tool-unlisted"
        line = result.after["procedure.yaml"].decode().splitlines()[left.line - 1]
        assert "chain spanner" in line


class TestSifted:
    @pytest.mark.parametrize("bad", [set(), {3}, {0, 7}, {2, 3, 4}, set(range(8))])
    def test_the_bad_ones_are_found(self, bad):
        def fault(batch):
            found = bad & set(batch)
            return f"{min(found)} is bad" if found else None

        kept, refused = sifted(range(8), fault)
        assert sorted(kept) == sorted(set(range(8)) - bad)
        assert sorted(refused) == [(item, f"{item} is bad") for item in sorted(bad)]

    def test_two_that_do_not_go_together(self):
        kept, refused = sifted([1, 2, 3], lambda batch: "both" if {1, 3} <= set(batch) else None)
        assert (sorted([*kept, *(item for item, _ in refused)]), len(refused)) == ([1, 2, 3], 1)

    def test_few_tries_where_few_are_bad(self):
        tries = []

        def fault(batch):
            tries.append(batch)
            return "bad" if 17 in batch else None

        sifted(range(64), fault)
        assert len(tries) < 20


def test_from_texts_through_the_public_face():
    library = Library.from_texts({**example.clean(), "unit.yaml": TIGHT})
    result = library.fixed()
    assert rules(result.done) == ["wording/unit-spacing"]
    shown = [line for line in unified(result).splitlines() if line[:1] in "+-"]
    assert [line[:12] for line in shown] == ["--- a/unit.y", "+++ b/unit.y", "-  housing: ", "+  housing: "]


def test_the_example_library_has_nothing_to_fix():
    result = fixed()
    assert (dict(result.before), dict(result.after), result.done, result.left) == ({}, {}, (), ())
    assert check(files()).passed
