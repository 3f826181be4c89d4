"""A condition stands before the action that depends on it.

Why: Whoever reads `Close the valve if water comes out` has closed it at `if`. Where `if` and `when` only ask
(`see if it drips`) and where an end is said (`until`), nothing is too late. The words are a list for each
language; languages without a list are not read.

Source: ASD-STE100 rule 5.4, from a summary; `IF … THEN` and `WHEN … THEN` as taught for DOE and NUREG
procedures, as read.

Bad::

    steps:
      - do: Put a second bucket down if the first is full.

Good::

    steps:
      - do: If the first bucket is full, put a second one down.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.language.orders import is_finite, orders
from proctool.rules.language.sentences import Sentence
from proctool.rules.language.texts import TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_ASKING = frozenset({"if", "when"})


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each condition behind its action."""
    for text in subject.texts:
        if text.kind not in {TextKind.INSTRUCTION, TextKind.STOP}:
            continue
        for sentence in text.sentences:
            place = _late(sentence, subject.words)
            if place is not None:
                message = f"`{sentence[place]}` comes after what to do: it is done before this is read."
                help_ = "Put the condition first, then a comma, then what to do."
                yield Seen(text.place(sentence.tokens[place]), message, help_)


def _late(sentence: Sentence, words: Words) -> int | None:
    """Where a condition stands behind the last verb of command that could depend on it."""
    commands = orders(sentence, words)
    if not commands:
        return None
    for first, end in words.find("leading", sentence.tokens):
        before = [place for place in commands if place < first]
        asks = sentence[first] in _ASKING and any(words.has("asking", sentence[p]) for p in before[-1:])
        if before and not asks and _is_clause(sentence, first, end, words):
            return first
    return None


def _is_clause(sentence: Sentence, first: int, start: int, words: Words) -> bool:
    """Whether a clause stands there: `after the pump stops`, not `after the pump` or `once more`."""
    behind = sentence.tokens[start:]
    if sentence[first] == "after":
        return any(is_finite(token.word, words) for token in behind)
    return sentence[first] in _ASKING or len(behind) > 1


RULE = Rule("wording/condition-late", page=__doc__, level=Level.ADVICE, text=check)
