"""What a baseline holds, how it knows a finding again, and what it refuses to be."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.finding import Finding, Level, Move
from proctool.model.span import Span
from proctool.report.baseline import FORMAT, Baseline, fingerprint, key, notes, read, sift, taken
from tests.report.things import BARE, FULL, fault

OTHER = {
    "rule": "graph/act-unfit",
    "level": Level.WARNING,
    "file": "q.yaml",
    "procedure": "other",
    "unit": "U-2",
    "step": "other",
    "part": "other",
    "message": "Other.",
}


def test_a_finding_is_known_again_on_another_line_by_another_trace():
    moved = replace(
        FULL, span=Span("p.yaml", 99, 1, 99, 2), trace=(Move("x", None),), told=("X.",), help="H."
    )
    assert key(moved) == key(FULL) and fingerprint(moved) == fingerprint(FULL)


@pytest.mark.parametrize("name", OTHER)
def test_and_not_where_anything_else_differs(name):
    other = replace(FULL, **{name: OTHER[name]})
    assert key(other) != key(FULL) and fingerprint(other) != fingerprint(FULL)


def test_what_is_held_is_left_out_as_often_as_it_was_counted():
    baseline = taken("L", [fault(1), fault(2)], ())
    sifted = sift([fault(5), fault(6), fault(7), BARE], baseline, ())
    assert (sifted.left, sifted.known, sifted.mended) == ((fault(7), BARE), 2, 0)


def test_what_is_not_found_any_more_is_mended():
    sifted = sift([BARE], taken("L", [fault(1), fault(2), FULL], ()), ())
    assert (sifted.left, sifted.known, sifted.mended) == ((BARE,), 0, 3)


def test_what_none_may_hold_is_not_taken_and_not_left_out():
    assert taken("L", [FULL, BARE], {FULL}).known == {key(BARE): 1}
    sifted = sift([FULL, BARE], taken("L", [FULL, BARE], ()), {FULL})
    assert (sifted.left, sifted.known, sifted.mended, sifted.refused) == ((FULL,), 1, 0, 1)


TEXTS = st.one_of(st.none(), st.text())
FINDINGS = st.builds(
    Finding,
    rule=st.text(),
    level=st.sampled_from(Level),
    message=st.text(),
    file=st.text(),
    procedure=TEXTS,
    unit=TEXTS,
    step=TEXTS,
    part=TEXTS,
)


@given(st.text(), st.lists(FINDINGS))
def test_a_file_is_read_as_it_was_written(library, findings):
    baseline = taken(library, findings, ())
    assert read(baseline.to_text()) == baseline
    assert sift(findings, baseline, ()).left == ()


def test_the_file_does_not_depend_on_the_order_and_has_a_line_for_each():
    findings = [FULL, BARE, fault()]
    text = taken("L", findings, ()).to_text()
    assert text == taken("L", findings[::-1], ()).to_text()
    assert sum('"rule"' in line for line in text.splitlines()) == 3


def damaged(**change):
    data = json.loads(taken("L", [FULL], ()).to_text())
    data["findings"][0] |= change
    return json.dumps(data)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it is no JSON"),
        ("[" * 100_000, "it is no JSON"),
        ("[]", "it is no baseline"),
        ('{"findings": []}', "it is no baseline"),
        (r'{"baseline": "\u001b[2J"}', "it is of format `\ufffd[2J`, this proctool reads 1"),
        (f'{{"baseline": {FORMAT + 1}}}', f"it is of format `2`, this proctool reads {FORMAT}"),
        (f'{{"baseline": {FORMAT}}}', "its `library` or its `findings` are missing"),
        (f'{{"baseline": {FORMAT}, "library": "L", "findings": [3]}}', "its finding 1 is not as"),
        (damaged(count=0), "its finding 1 is not as"),
        (damaged(count=True), "its finding 1 is not as"),
        (damaged(level="grave"), "its finding 1 is not as"),
        (damaged(level=[]), "its finding 1 is not as"),
        (damaged(message=None), "its finding 1 is not as"),
        (damaged(unit=4), "its finding 1 is not as"),
        (damaged(message="\ud800"), "its finding 1 is not as"),
        (
            f'{{"baseline": {FORMAT}, "library": "\\udcff", "findings": []}}',
            "its `library` or its `findings` are",
        ),
    ],
)
def test_what_is_no_baseline_is_told_in_words(text, said):
    assert str(read(text)).startswith(said)


@pytest.mark.parametrize(
    ("found", "whole", "said"),
    [
        ([FULL], True, "1 finding of the baseline is not shown. 2 entries are mended: `--write-baseline`"),
        ([FULL], False, "1 finding of the baseline is not shown.\n"),
        ([], True, "0 findings of the baseline are not shown. 3 entries are mended:"),
        (
            [FULL, fault(), BARE],
            True,
            "2 findings of the baseline are not shown. 1 entry of it may not be held:",
        ),
    ],
)
def test_notes(found, whole, said):
    baseline: Baseline = taken("L", [FULL, fault(), BARE], ())
    text = notes(sift(found, baseline, {BARE}), whole=whole, width=80)
    assert " ".join(text.split()).startswith(" ".join(said.split()))
    assert all(len(line) <= 80 for line in text.splitlines())
