"""A sentence that instructs has at most 20 words, one that describes 25, and a note at most 6 sentences.

Why: A technician reads one sentence, looks away, and does it. What does not fit into one look is done by
half. A name in angle brackets is one word, and so is what is joined by a hyphen; a number and its measure are
two.

Source: ASD-STE100 rules 5.1 (20 words), 6.3 (25 words) and 6.6 (6 sentences), from summaries; the
specification was not read. How a number with its measure counts is our own choice, the stricter one.

Bad::

    steps:
      - do: >-
          Take the used cartridge out of the housing with both hands and lay it into the bucket that stands
          under the housing on the floor.

Good::

    steps:
      - do: Take the used cartridge out of the housing with both hands.
      - do: Lay the used cartridge into the bucket.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.language.orders import orders
from proctool.rules.language.texts import Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_INSTRUCTION, _DESCRIPTION, _SENTENCES = 20, 25, 6
_INSTRUCTING = frozenset({TextKind.INSTRUCTION, TextKind.STOP, TextKind.AVOID})


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each sentence with too many words, and each note with too many sentences."""
    for text in subject.texts:
        yield from _sentences(text, subject.words)
        if text.kind is TextKind.NOTE and len(text.sentences) > _SENTENCES:
            message = f"This note has {len(text.sentences)} sentences; {_SENTENCES} can be read at one go."
            yield Seen(text.written.span, message, "Split it, or leave out what nobody needs here.")


def _sentences(text: Text, words: Words) -> Iterator[Seen]:
    for sentence in text.sentences:
        instructs = text.kind in _INSTRUCTING or bool(orders(sentence, words))
        most, what = (_INSTRUCTION, "instructs") if instructs else (_DESCRIPTION, "describes")
        if sentence.words > most:
            message = f"This sentence has {sentence.words} words; one that {what} has at most {most}."
            help_ = "Make two sentences of it, or two steps."
            yield Seen(text.place(sentence.tokens[0], sentence.tokens[-1]), message, help_)


RULE = Rule("wording/too-long", page=__doc__, level=Level.WARNING, text=check)
