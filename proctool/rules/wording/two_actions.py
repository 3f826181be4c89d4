"""A step has one action, and a check only looks.

Why: Of two actions in one line the second is skipped, and the box beside the line can only be ticked for
both. `Before putting it in` behind the command hides one, too. A check that also moves something cannot fail
without having moved it. Some actions belong together: close and lock, loosen and catch, anything and hold or
wait. They are a list for each language; a library adds its own with `words: {pairs: [purge and mark]}`.
Languages without a list are not read.

Source: DOE-STD-1029 (a step has one action; a check compares and moves nothing), the second part as read, the
first from memory; ASD-STE100 rule 5.2 (one instruction, unless the actions are simultaneous), from a summary.
The list of pairs is common practice, no source.

Bad::

    steps:
      - do: Put a bucket under the drain and wipe the housing.

Good::

    steps:
      - do: Put a bucket under the drain.
      - do: Wipe the housing.
      - do: Press the button and hold it for 5 s.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from proctool.model.finding import Level
from proctool.rules.language.orders import orders
from proctool.rules.language.texts import Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen
from proctool.rules.tokens import Token

_ORDERING = frozenset({"after", "before"})


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each action of an instruction that makes no pair with the one before; each action of a check."""
    for text in subject.texts:
        found = [s.tokens[place] for s in text.sentences for place in orders(s, subject.words)]
        if text.kind is TextKind.INSTRUCTION:
            yield from _instruction(text, found, subject.words)
            yield from _hidden(text, subject.words)
        elif text.kind is TextKind.CHECK:
            yield from _check(text, found, subject.words)


def _instruction(text: Text, found: list[Token], words: Words) -> Iterator[Seen]:
    for first, second in pairwise(found):
        together = (first.word, "and", second.word) in words["pairs"]
        companion = words.has("companions", first.word) or words.has("companions", second.word)
        if not together and not companion:
            message = f"This step has a second action: `{second.word}` after `{first.word}`."
            yield Seen(text.place(second), message, "Make a step of its own for it.")


def _hidden(text: Text, words: Words) -> Iterator[Seen]:
    """An action in the tail of a sentence that commands: `before putting it in`."""
    for sentence in text.sentences:
        commands = orders(sentence, words)
        for place in range(commands[0] + 1 if commands else 0, len(sentence.tokens) if commands else 0):
            if sentence[place - 1] in _ORDERING and words.has("commands", _stem(sentence[place], words)):
                message = (
                    f"`{sentence[place - 1]} {sentence[place]}` hides a second action, done out of turn."
                )
                yield Seen(text.place(sentence.tokens[place]), message, "Make a step of its own for it.")


def _stem(word: str, words: Words) -> str:
    """The plain form of a verb in -ing; the word itself for any other."""
    stem = word.removesuffix("ing")
    if stem == word:
        return ""
    doubled = stem[:-1] if stem[-1:] == stem[-2:-1] else stem
    return next((form for form in (f"{stem}e", stem, doubled) if words.has("commands", form)), word)


def _check(text: Text, found: list[Token], words: Words) -> Iterator[Seen]:
    for token in found:
        if not words.has("looks", token.word):
            message = f"This check also acts: `{token.word}`. A check compares what is with what shall be."
            yield Seen(text.place(token), message, "Do it in a step before, and say here what is found then.")


RULE = Rule("wording/two-actions", page=__doc__, level=Level.WARNING, text=check)
