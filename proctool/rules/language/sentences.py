"""Texts to sentences. Full stops of abbreviations and numbers end none; items of a list stand alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proctool.rules.language.words import Words
from proctool.rules.tokens import Token, tokens

_BREAKS = re.compile(r"(?:^|\n)[ \t]*(?:[-*+•]|\d+[.)])[ \t]+|\n[ \t]*\n")
"""Before an item of a list, and between paragraphs."""
_CHUNK = re.compile(r"<[^<>\n]*>\S*|[^\s\N{EN DASH}\N{EM DASH}]+")
_ENDS = frozenset(".!?")


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence, without the sign that ends it."""

    said: str
    tokens: tuple[Token, ...]
    """Their places are those in the whole text."""

    @property
    def words(self) -> int:
        """How many words it has. A `<name>`, a number and what is joined by a hyphen are one word each."""
        return sum(any(sign.isalnum() for sign in chunk) for chunk in _CHUNK.findall(self.said))

    @property
    def clauses(self) -> tuple[Sentence, ...]:
        """What stands between its semicolons, each as a sentence."""
        found: list[Sentence] = []
        done = 0
        for place, token in enumerate(self.tokens):
            if token.word == ";":
                found += self._part(done, place)
                done = place + 1
        return (*found, *self._part(done, len(self.tokens)))

    def _part(self, start: int, end: int) -> Iterator[Sentence]:
        if start < end:
            first, part = self.tokens[0].start, self.tokens[start:end]
            yield Sentence(self.said[part[0].start - first : part[-1].end - first], part)

    def behind(self, place: int) -> str:
        """What is written behind a token, up to the next blank."""
        rest = self.said[self.tokens[place].end - self.tokens[0].start :].lstrip()
        return rest.split(maxsplit=1)[0] if rest else ""

    def __getitem__(self, place: int) -> str:
        """The word at a place; a full stop before the first and after the last."""
        return self.tokens[place].word if 0 <= place < len(self.tokens) else "."


def sentences(text: str, words: Words) -> tuple[Sentence, ...]:
    """The sentences of a text as written."""
    found: list[Sentence] = []
    for start, end in _blocks(text):
        block = tuple(tokens(text[start:end], start))
        done = 0
        for place in _ends(block, words):
            found += _sentence(text, block[done:place])
            done = place + 1
        found += _sentence(text, block[done:])
    return tuple(found)


def _blocks(text: str) -> Iterator[tuple[int, int]]:
    """Paragraphs and items of lists, each as its start and end."""
    done = 0
    for match in _BREAKS.finditer(text):
        yield done, match.start()
        done = match.end()
    yield done, len(text)


def _ends(block: Sequence[Token], words: Words) -> Iterator[int]:
    """Places of the signs that end a sentence."""
    for place, token in enumerate(block):
        after = block[place + 1] if place + 1 < len(block) else None
        if token.word not in _ENDS or (after is not None and after.start == token.end and after.spoken):
            continue
        before = block[place - 1] if place else None
        short = before is not None and before.end == token.start and words.has("abbreviations", before.word)
        if short and after is not None:
            bound = before is not None and words.has("bound", before.word)
            if bound or not (after.capital or after.name):
                continue
        yield place


def _sentence(text: str, found: Sequence[Token]) -> Iterator[Sentence]:
    if any(token.spoken for token in found):
        yield Sentence(text[found[0].start : found[-1].end], tuple(found))
