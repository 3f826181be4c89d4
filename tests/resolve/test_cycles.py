"""Circles of blocks and bases that nothing uses yet are told too, once, and no others."""

import pytest

from proctool.api import Library

LIBRARY = "library: L\n"
A, B, SELF = (
    "block: a\nsteps:\n  - use: b\n",
    "block: b\nsteps:\n  - check: Good?\n    otherwise: {steps: [{use: a}], end_here: Stop.}\n",
    "block: self\nsteps:\n  - steps: [{use: self}]\n    id: g\n",
)


def cycles(**files):
    texts = {"library.yaml": LIBRARY, **{f"{name}.yaml": text for name, text in files.items()}}
    found = Library.from_texts(texts).check().findings
    return [(str(f.span), f.message) for f in found if f.rule == "file/cycle"]


def test_two_blocks():
    assert cycles(a=A, b=B) == [("a.yaml:3:10", "Blocks need each other: a → b → a.")]


def test_a_block_that_uses_itself():
    assert cycles(s=SELF) == [("s.yaml:3:19", "Blocks need each other: self → self.")]


def test_bases():
    one, two = "base: one\nbased_on: two\n", "base: two\nbased_on: one\n"
    assert cycles(one=one, two=two) == [("one.yaml:2:11", "Bases need each other: one → two → one.")]


@pytest.mark.parametrize("first", ["a", "b"])
def test_what_a_procedure_uses_is_told_there_only(first):
    unit = "unit: U\nenergies: {w: {form: heat}}\nparts: {s: {role: source}, c: {role: component}}\n"
    unit += "lines: {l: {energy: w, path: [s, c]}}\n"
    procedure = f"procedure: p\ntitle: P\nunits: [U]\nsteps:\n  - use: {first}\n"
    assert len(cycles(a=A, b=B, u=unit, p=procedure)) == 1


def test_blocks_in_a_row_are_no_circle():
    assert cycles(a=A, b="block: b\nsteps:\n  - do: A step.\n") == []
