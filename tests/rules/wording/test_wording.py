"""Wording rules where fixtures do not say it all: whose words, how often told, in what language."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.model.document import Scalar
from proctool.model.span import Span
from proctool.rules.language.orders import orders
from proctool.rules.language.sentences import sentences
from proctool.rules.language.texts import Message, Text, TextKind, TextSubject
from proctool.rules.language.words import Words, words
from proctool.rules.wording import PACK
from tests.rules import example


def _english() -> Words:
    found = words("en")
    assert found is not None
    return found


EN = _english()


def found(rule, example_of_page):
    check = example.check(example.on_page(json.dumps(example_of_page)))
    assert not [f for f in check.findings if f.rule.startswith("file/")]
    return [f for f in check.findings if f.rule == f"wording/{rule}"]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Close it. Open it.", 2),
        ("Use a rag, e.g. a dry one. Then stop.", 2),
        ("Fill in 2.5 L. Stop.", 2),
        ("Cut it to 3 in. Now stop.", 2),
        ("See fig. 3 for it.", 1),
        ("Wipe nuts, bolts, etc. Then stop.", 2),
        ("Close V1.2 and stop!", 1),
        ("Take:\n\n- a cloth\n- a bucket", 3),
        ("1. Close it.\n2. Open it.", 2),
        ("Read the <gauge.tag>. <inlet> is open.", 2),
        ("…", 0),
    ],
)
def test_where_sentences_end(text, count):
    assert len(sentences(text, EN)) == count


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Close the <inlet_valve>.", 3),
        ("Turn the O-ring by 0.5 mm (±0.1 mm).", 8),
        ("Wait — the pump runs.", 4),
        ("Loosen it and/or turn it.", 5),
    ],
)
def test_how_words_are_counted(text, count):
    (sentence,) = sentences(text, EN)
    assert sentence.words == count


@pytest.mark.parametrize(
    ("text", "verbs"),
    [
        ("Close it, then slowly open V2.", ["close", "open"]),
        ("If air, oil or water comes out, close V1 and call us.", ["close", "call"]),
        ("If water comes out close the valve.", ["close"]),
        ("Use the wrench to loosen and turn the nut.", ["use"]),
        ("Put your lock and tag on it.", ["put"]),
        ("Do not open V1 and close V2.", []),
        ("Pump plug must be out.", []),
        ("The pump stops.", []),
        ("Deglaze the pan.", ["deglaze"]),
    ],
)
def test_what_a_sentence_orders(text, verbs):
    (sentence,) = sentences(text, EN)
    assert [sentence[place] for place in orders(sentence, EN)] == verbs


PIECES = st.sampled_from(
    (
        *("close", "open", "the", "<drain>", "<a.b>", "V1", "if", "when", "and", "then", ",", ".", ":", ";"),
        *("!", "4", "0.5", "bar", "to", "-", "±", "until", "not", "slowly", "Caution:", "do not", "e.g."),
        *("before putting", "(", "½", "\n- ", "\n\n", "with", "be careful", "…"),
    )
)


@given(st.one_of(st.lists(PIECES, max_size=12).map(" ".join), st.text(max_size=40)))
@settings(max_examples=150, deadline=None)
def test_no_text_breaks_a_rule(text):
    at = Span("p.yaml", 1, 1, 1, 1 + len(text))
    said = Scalar(text, at)
    texts = tuple(Text(kind, said, sentences(text, EN)) for kind in TextKind)
    subject = TextSubject("p.yaml", "p", at, texts, (Message(at, said, said, said, said),), EN)
    for rule in PACK:
        for seen in rule.text(subject) if rule.text is not None else ():
            assert seen.message and at.column <= seen.span.column <= seen.span.end_column <= at.end_column


class TestWhere:
    def test_a_text_of_a_block_is_told_once(self):
        block = {"takes": ["opens"], "steps": [{"do": "Wipe the <pump> as required."}]}
        said = {"blocks": {"wipe": block}, "steps": [{"use": "wipe"}, {"use": "wipe", "id": "again"}]}
        (finding,) = found("vague", said)
        assert (finding.file, finding.procedure, finding.unit) == ("wipe.yaml", None, None)

    def test_a_sentence_of_the_library_and_a_warning_of_a_unit_are_read(self):
        (finding,) = found("vague", {"library": {"sentences": {"stop": "Stop the <part> carefully."}}})
        assert finding.file == "library.yaml"
        warning = {"warning": {"avoid": "Open the housing only with adequate gloves."}}
        (finding,) = found("vague", {"unit": {"energies": {"water": warning}}})
        assert finding.file == "unit.yaml"

    def test_the_place_is_the_word_itself(self):
        files = example.clean()
        files["procedure.yaml"] = files["procedure.yaml"].replace("cartridge out.", "cartridge out gently.")
        (finding,) = [f for f in example.check(files).findings if f.rule == "wording/vague"]
        line = files["procedure.yaml"].splitlines()[finding.span.line - 1]
        assert line[finding.span.column - 1 : finding.span.end_column - 1] == "gently"


class TestWhoseWords:
    def test_a_library_adds_its_own(self):
        text = "Purge the line and pig it."
        assert [f.message for f in found("two-actions", {"steps": [{"do": text}]})] == []
        more = {"library": {"words": {"commands": ["pig"]}}}
        assert found("two-actions", {"steps": [{"do": text}], **more})
        more["library"]["words"]["pairs"] = ["purge and pig"]
        assert found("two-actions", {"steps": [{"do": text}], **more}) == []

    @pytest.mark.parametrize(
        ("rule", "text", "added", "before", "after"),
        [
            ("vague", "Wipe the <pump> gently.", {"allowed": ["gently"]}, 1, 0),
            ("vague", "Wipe the <pump> nicely.", {"vague": ["nicely"]}, 0, 1),
            ("number-bare", "Set the knob to notch-type 4.", {"labels": ["notch-type"]}, 0, 0),
            ("number-bare", "Set the torque 4.", {"labels": ["torque"]}, 1, 0),
            ("not-imperative", "Deglazes it.", {"commands": ["deglazes"]}, 1, 0),
        ],
    )
    def test_each_list(self, rule, text, added, before, after):
        steps = [{"do": text}]
        assert len(found(rule, {"steps": steps})) == before
        assert len(found(rule, {"steps": steps, "library": {"words": added}})) == after

    def test_a_language_without_lists_is_not_read(self):
        said: dict[str, Any] = {"steps": [{"do": "Wipe the <pump> as required, 4 and open it."}]}
        said["library"] = {"language": "fi"}
        findings = example.check(example.on_page(json.dumps(said))).findings
        assert {f.rule for f in findings if f.rule.startswith("wording/")} == set()

    def test_a_pair_of_one_verb_is_a_fault_of_the_file(self):
        files = example.on_page(json.dumps({"library": {"words": {"pairs": ["purge"]}}}))
        assert "file/schema" in {f.rule for f in example.check(files).findings}


def test_a_part_without_an_each_is_named_by_its_tag():
    assert found("act-unsaid", {"steps": [{"do": "Close V1.", "isolate": "inlet_valve"}]}) == []


HOT = {
    "word": "caution",
    "hazard": "Hot water in the filter housing.",
    "harm": "It can scald you.",
    "avoid": "Wear gloves.",
}


class TestWarningLate:
    def late(self, *steps):
        return found("warning-late", {"dangers": {"hot": HOT}, "steps": steps})

    def test_it_must_come_first_in_every_order(self):
        opened = {"do": "Unscrew the <housing>.", "open": "housing", "id": "opened"}
        wiped = {"do": "Wipe the <housing>.", "warn": "hot", "id": "wiped"}
        assert self.late(opened, wiped)
        assert self.late({"any_order": [opened, wiped], "id": "both"})
        assert not self.late(wiped, opened)
        assert not self.late({**opened, "warn": "hot"}, wiped)


class TestWarningActs:
    def said(self, avoid, *before):
        steps = [*before, {"do": "Wipe the <pump>.", "warn": "hot"}]
        return found("warning-acts", {"dangers": {"hot": {**HOT, "avoid": avoid}}, "steps": steps})

    def test_an_act_or_a_text_before_orders_it(self):
        vent = {"do": "Open the <drain>.", "vent": "drain"}
        assert self.said("Open the drain valve first.")
        assert not self.said("Open the drain valve first.", vent)
        assert self.said("Close the inlet valve first.", vent)
        assert self.said("Lay a mat on the floor first.")
        assert not self.said("Lay a mat on the floor first.", {"do": "Lay the rubber mat on the floor."})

    def test_what_is_worn_or_forbidden_orders_nothing(self):
        assert not self.said("Wear gloves. Keep away from the drain valve. Do not open it.")
        assert not self.said("Open the drain valve only after it has cooled below 40 °C.")
