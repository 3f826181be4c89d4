"""No text leaves to the reader what it means: no `as required`, `properly`, `adequate`, `firmly`, `etc.`.

Why: Two people do two different things, and both did as they were told. `Approximately` and `about` before a
number say that it has limits and not which. The words are a list for each language; a library adds to it with
`words: {vague: […]}` and takes from it with `words: {allowed: […]}`. Languages without a list are not read.

Source: The idea from a second-hand summary of NUREG-0899 (`frequently`, `slowly`) and from memory of
DOE-STD-1029 (`adequate`, `as required`, `approximately` without limits); the list is our own.

Bad::

    steps:
      - do: Clean the thread of the housing as required.

Good::

    steps:
      - do: Wipe the thread of the housing until the cloth stays clean.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.language.sentences import Sentence
from proctool.rules.language.texts import TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_HELP = "Say what is done or found: a value with its limits, a number of times, an end that one can see."


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each vague word or phrase."""
    for text in subject.texts:
        for sentence in text.sentences:
            for first, end in _vague(sentence, subject.words):
                said = " ".join(token.word for token in sentence.tokens[first:end])
                place = text.place(sentence.tokens[first], sentence.tokens[end - 1])
                yield Seen(place, f"`{said}` means something else to each reader.", _HELP)


def _vague(sentence: Sentence, words: Words) -> Iterator[tuple[int, int]]:
    tokens = sentence.tokens
    excused = {p for first, end in words.find("allowed", tokens) for p in range(first, end)}
    for first, end in words.find("vague", tokens):
        if not excused & set(range(first, end)):
            yield first, end
    for first, end in words.find("around", tokens):
        number = next((p for p in range(end, min(end + 2, len(tokens))) if tokens[p].number), None)
        if number is not None and not _limited(sentence, number):
            yield first, end


def _limited(sentence: Sentence, place: int) -> bool:
    """Whether limits stand behind a number: `±`, or a second number."""
    return any(sentence[p] in {"±", "to", "-"} for p in range(place + 1, place + 4))


RULE = Rule("wording/vague", page=__doc__, level=Level.WARNING, text=check)
