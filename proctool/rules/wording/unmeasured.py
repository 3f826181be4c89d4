"""What is tight, warm, slow or waited for has a value, or an end that one can see.

Why: Hand-tight is 2 N·m for one hand and 8 N·m for the next; `when it is cold` is a burn for whoever cannot
wait. A value with its measure, a property or fact of the unit, or what one sees at the end (`until it
stops`) is the same for all. The words are a list for each language; languages without a list are not read.

Source: A second-hand summary of NUREG-0899 (`slowly` without a measure), and from memory DOE-STD-1029
(acceptance criteria are numbers with units). That an end one can see is as good as a value: common practice,
no source. A tolerance is not asked for, only a value: that of a torque comes with the tool.

Bad::

    steps:
      - do: Screw the lid of the bucket on until it is tight.

Good::

    steps:
      - do: Screw the lid of the bucket on until it touches the rim.
      - do: Wait 5 min.
"""

from __future__ import annotations

from collections.abc import Container, Iterator

from proctool.model.finding import Level
from proctool.rules.language.amounts import bare, has_amount
from proctool.rules.language.orders import orders
from proctool.rules.language.sentences import Sentence
from proctool.rules.language.texts import TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_DONE = frozenset({TextKind.INSTRUCTION, TextKind.CHECK, TextKind.STOP, TextKind.AVOID})


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each manner, state, wait and tightening without a value or an end."""
    for text in subject.texts:
        if text.kind not in _DONE:
            continue
        for sentence in text.sentences:
            for first, end in _unmeasured(sentence, subject.words, subject.facts):
                said = " ".join(token.word for token in sentence.tokens[first:end])
                place = text.place(sentence.tokens[first], sentence.tokens[end - 1])
                message = f"`{said}` has no value here, and no end that one can see."
                yield Seen(place, message, "Give a value with its measure, or say `until` what is seen.")


def _unmeasured(sentence: Sentence, words: Words, facts: Container[str]) -> Iterator[tuple[int, int]]:
    if has_amount(sentence, facts) or any(bare(sentence, words)):
        return  # that a number lacks its measure is told by another rule
    ends = [first for first, _ in words.find("ends", sentence.tokens)]
    for first, end in sorted({*_manners(sentence, words), *_actions(sentence, words)}):
        if not any(place >= end for place in ends):  # `until it is tight` names no end
            yield first, end


def _manners(sentence: Sentence, words: Words) -> Iterator[tuple[int, int]]:
    yield from words.find("manners", sentence.tokens)
    for first, end in words.find("states", sentence.tokens):
        if words.has("linking", sentence[first - 1]):
            yield first, end


def _actions(sentence: Sentence, words: Words) -> Iterator[tuple[int, int]]:
    """Verbs of command that last or tighten, without an end."""
    for place in orders(sentence, words):
        behind = sentence.tokens[place + 1 :]
        if words.has("tightening", sentence[place]):
            yield place, place + 1
        elif sentence[place] == "wait":
            if not any(token.word == "to" for token in behind):  # `wait for the flow to stop`
                yield place, place + 1
        elif words.has("lasting", sentence[place]) and words.any("lasts", behind):
            yield place, place + 1


RULE = Rule("wording/unmeasured", page=__doc__, level=Level.WARNING, text=check)
