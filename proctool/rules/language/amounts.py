"""Numbers in a sentence: those with a measure, those without, and those that are names or counts."""

from __future__ import annotations

from collections.abc import Container, Iterator

from proctool.model.measures import find_measure
from proctool.rules.language.sentences import Sentence
from proctool.rules.language.words import Words

_JOINTS = frozenset({"to", "and", "or", "±", "-", "x", "/", ","})
"""Between two numbers of one range or size: what stands behind the last goes for both."""


def bare(sentence: Sentence, words: Words) -> Iterator[tuple[int, int]]:
    """Numbers that need a measure and have none, each as the places of its first and its last number."""
    for first, last in _numbers(sentence):
        if not (_followed(sentence, last, words) or _named(sentence, first, last, words)):
            yield first, last


def has_amount(sentence: Sentence, facts: Container[str]) -> bool:
    """Whether a sentence gives a number with its measure, a property or a fact."""
    named = (token.name for token in sentence.tokens if token.name is not None)
    return any("." in name or name in facts or name == "safe" for name in named) or any(
        _measured(sentence, last) for _, last in _numbers(sentence)
    )


def _numbers(sentence: Sentence) -> Iterator[tuple[int, int]]:
    """Numbers, those of one range or size together."""
    place = 0
    while place < len(sentence.tokens):
        if not sentence.tokens[place].number:
            place += 1
            continue
        last = place
        while sentence[last + 1] in _JOINTS and sentence[last + 2][:1].isdigit():
            last += 2
        yield place, last
        place = last + 1


def _measured(sentence: Sentence, place: int) -> bool:
    """Whether a measure stands behind a number."""
    said = sentence.behind(place).rstrip(".,;:!?")
    measure = find_measure(said) or find_measure(said.rstrip(")"))
    return bool(said) and measure is not None and measure.symbol != ""


def _followed(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a number has a measure, counts what stands behind it, or is part of a word or a time."""
    if place + 1 == len(sentence.tokens):
        return False
    number, after = sentence.tokens[place], sentence.tokens[place + 1]
    joined = after.start == number.end
    if after.word == "in":  # inches, but `4 in the …` is none
        behind = sentence.tokens[place + 2] if place + 2 < len(sentence.tokens) else None
        return behind is None or (behind.word != "" and not words.has("articles", behind.word))
    if _measured(sentence, place) or after.word in {"%", "°", "of"}:
        return True
    if joined and after.word in {"-", ":"}:
        return place + 2 < len(sentence.tokens) and sentence.tokens[place + 2].start == after.end
    if after.name is not None or joined and after.spoken:
        return True
    if "." in number.word and after.word != "times":
        return False  # nothing is counted in decimals
    known = any(words.has(name, after.word) for name in ("prepositions", "articles", "pronouns", "joins"))
    return after.spoken and not known


def _named(sentence: Sentence, first: int, last: int, words: Words) -> bool:
    """Whether a number without a measure is a name, a size or a date: what stands before it says so."""
    if sentence[first + 1] == "-" and last - first >= 4:
        return True  # a date
    if "." in sentence[last] and words.has("articles", sentence[first - 1]):
        return False  # `a 0.4 blade`
    if sentence[first - 1] in {",", ":", ";"} and words.has("articles", sentence[last + 1]):
        return True  # the key of a picture: `1 the cap, 2 the screen`
    while sentence[first - 1] in {"+", "-", "±"}:
        first -= 1
    before = sentence[first - 1]
    if words.has("labels", before) or words.has("labels", before.removesuffix("s")):
        return True
    asks = any(words.has(name, before) for name in ("values", "quantities", "commands", "linking"))
    return not asks and before not in {".", ",", "=", ">", "<", "≥", "≤"}
