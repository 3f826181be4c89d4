"""The words that the wording rules know of a language, as lists; a library adds its own.

A list holds words and phrases in lower case. The lists of each language are a data file of this package; a
language without one is not read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources

import yaml

from proctool.rules.tokens import Token

Phrase = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Words:
    """The lists of one language by name."""

    lists: ReadOnly[str, frozenset[Phrase]]

    def __getitem__(self, name: str) -> frozenset[Phrase]:
        return self.lists[name]

    def has(self, name: str, word: str) -> bool:
        """Whether a list has a word."""
        return (word,) in self.lists[name]

    def find(self, name: str, tokens: Sequence[Token]) -> Iterator[tuple[int, int]]:
        """Where phrases of a list stand, the longest at each place: the first place and the one behind."""
        phrases = self.lists[name]
        longest = _longest(phrases)
        place = 0
        while place < len(tokens):
            size = _size(phrases, longest, tokens, place)
            if size:
                yield place, place + size
            place += size or 1

    def any(self, name: str, tokens: Sequence[Token]) -> bool:
        """Whether any phrase of a list stands there."""
        return next(self.find(name, tokens), None) is not None

    def starts(self, name: str, tokens: Sequence[Token]) -> int:
        """The length of the phrase of a list that stands at the head; 0 for none."""
        phrases = self.lists[name]
        return _size(phrases, _longest(phrases), tokens[:4], 0) if tokens else 0

    def with_added(self, added: ReadOnly[str, Iterable[str]]) -> Words:
        """These words and those that a library adds."""
        more = {name: frozenset(map(phrase, said)) for name, said in added.items()}
        return Words({name: found | more.get(name, frozenset()) for name, found in self.lists.items()})


@lru_cache(256)
def _longest(phrases: frozenset[Phrase]) -> dict[str, int]:
    """By its first word how long the longest of some phrases is: few words of a text begin one."""
    longest: dict[str, int] = {}
    for said in filter(None, phrases):
        longest[said[0]] = max(len(said), longest.get(said[0], 0))
    return longest


def _size(phrases: frozenset[Phrase], longest: dict[str, int], tokens: Sequence[Token], place: int) -> int:
    """The length of the longest phrase that stands at a place; 0 for none."""
    most = longest.get(tokens[place].word, 0)
    said = tuple([token.word for token in tokens[place : place + most]])
    return next((n for n in range(len(said), 0, -1) if said[:n] in phrases), 0)


def phrase(text: str) -> Phrase:
    """A word or words as a list holds them."""
    return tuple(text.lower().split())


_LOADER: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
"""libyaml where PyYAML was built with it: many times as fast."""


@cache
def words(language: str) -> Words | None:
    """The lists of a language, by its tag such as `en-GB`; None where there are none.

    They are data of this package, as unchanging as its code.
    """
    file = resources.files("proctool.rules.language") / f"{language.partition('-')[0].lower()}.yaml"
    if not file.is_file():
        return None
    lists = yaml.load(file.read_text(encoding="utf-8"), Loader=_LOADER)  # noqa: S506 - all stays text
    return Words({name: frozenset(map(phrase, said)) for name, said in lists.items()})
