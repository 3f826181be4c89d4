"""Texts taken apart into words and signs, in one way for all rules that read texts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from proctool.model.plan import Filled
from proctool.model.unit import Unit
from proctool.network.kept import per_unit

_CURLY = "\N{RIGHT SINGLE QUOTATION MARK}"
_PLAIN = str.maketrans(
    {
        _CURLY: "'",
        "\N{EN DASH}": "-",
        "\N{EM DASH}": "-",
        "\N{MINUS SIGN}": "-",
        "\N{MULTIPLICATION SIGN}": "x",
    }
)
_TOKEN = re.compile(
    rf"""
      \\(?P<sign>[^\w\s])                                  # a sign made plain
    | <(?P<name>(?![\s0-9=])[^<>\n]+)>                     # a name to be filled in
    | (?:[^\W\d_]\.){{2,}}                                 # e.g.
    | \d+(?:[.,]\d+)*                                      # 4  0.5  1,000
    | [^\W_]+(?:['{_CURLY}-][^\W_]+|\.\d+)*                # valve  V1  O-ring  don't  M8x1.25
    | [^\w\s] | _
    """,
    re.VERBOSE,
)


class Token(NamedTuple):
    """A word in lower case, a number or a sign, and where it stands in its text.

    A written `<name>`, and what was filled in for one, has an empty word.
    """

    word: str
    start: int
    end: int
    name: str | None = None
    """The name between `<` and `>`."""
    part: str | None = None
    """The id of a part that stands here, by `<name>` or in plain words."""
    capital: bool = False
    """Whether it begins with a capital letter."""

    @property
    def number(self) -> bool:
        """Whether it is a number in digits."""
        return self.word[:1].isdigit()

    @property
    def adverb(self) -> bool:
        """Whether it has the form of an adverb: `slowly`, and not `supply`."""
        return self.word.endswith("ly") and not self.word.endswith(("ply", "bly"))

    @property
    def spoken(self) -> bool:
        """Whether it is a word, a number or a name, and no sign."""
        return not self.word or self.word[0].isalnum()


@lru_cache(8192)
def tokens(text: str, at: int = 0) -> tuple[Token, ...]:
    """The tokens of a text as written; it stands at a place of a longer one.

    Kept, because several rules read the same text, and so do all units of a family.
    """
    found = []
    for match in _TOKEN.finditer(text):
        start, end = at + match.start(), at + match.end()
        if match["name"] is not None:
            found.append(Token("", start, end, name=match["name"]))
        else:
            said = match["sign"] or match[0]
            found.append(Token(said.lower().translate(_PLAIN), start, end, capital=said[0].isupper()))
    return tuple(found)


@dataclass(frozen=True, slots=True, eq=False)
class PartNames:
    """How the parts of a unit are called in plain words: by name in any case, or by tag."""

    pattern: re.Pattern[str]
    named: dict[str, str]
    tagged: dict[str, str]

    @staticmethod
    def of(unit: Unit, acted_on: Iterable[str] = ()) -> PartNames:
        """The names of a unit's parts; the pattern takes the longest that stands at a place.

        Where several parts have one name, one in `acted_on` is meant, else the first.
        """
        return _naming(unit).meant(acted_on)


class _Naming:
    """The names of one unit's parts, whichever parts are acted on."""

    def __init__(self, unit: Unit) -> None:
        self._parts = unit.parts
        names = Counter(part.name.casefold() for part in unit.parts.values())
        tags = Counter(part.tag for part in unit.parts.values() if part.tag)
        self._doubtful = frozenset(
            part.id
            for part in unit.parts.values()
            if names[part.name.casefold()] > 1 or tags[part.tag or ""] > 1
        )
        """Parts that share their name or tag: only of these it matters which are acted on."""
        self._known: dict[tuple[str, ...], PartNames] = {}

    def meant(self, acted_on: Iterable[str]) -> PartNames:
        """What the names mean where some parts are acted on."""
        first = tuple(dict.fromkeys(name for name in acted_on if name in self._doubtful))
        if first not in self._known:
            parts = [self._parts[name] for name in reversed(dict.fromkeys((*first, *self._parts)))]
            named = {part.name.casefold(): part.id for part in parts}
            tagged = {part.tag: part.id for part in parts if part.tag}
            self._known[first] = PartNames(_pattern(tuple(named), tuple(tagged)), named, tagged)
        return self._known[first]


_naming = per_unit(_Naming)


@lru_cache(1024)
def _pattern(names: tuple[str, ...], tags: tuple[str, ...]) -> re.Pattern[str]:
    """Any of some names in any case, or of some tags; the longest name that stands at a place."""
    either = [rf"(?i:{re.escape(name)})" for name in sorted(names, key=len, reverse=True)]
    either += map(re.escape, tags)
    return re.compile(rf"(?<!\w)(?:{'|'.join(either)})(?!\w)")


@lru_cache(8192)
def filled_tokens(text: str, filled: tuple[Filled, ...], names: PartNames) -> tuple[Token, ...]:
    """The tokens of a filled text; what stands for a `<name>` is one, and so is a part in plain words.

    Kept, because several rules read the same text, and the steps of a block come again and again.
    """
    return tuple(_filled(text, filled, names))


def _filled(text: str, filled: tuple[Filled, ...], names: PartNames) -> Iterator[Token]:
    done = 0
    for stretch in filled:
        yield from _plain(text[done : stretch.start], done, names)
        yield Token("", stretch.start, stretch.end, part=stretch.part)
        done = stretch.end
    yield from _plain(text[done:], done, names)


def _plain(text: str, at: int, names: PartNames) -> Iterator[Token]:
    done = 0
    for match in names.pattern.finditer(text):
        yield from tokens(text[done : match.start()], at + done)
        part = names.tagged.get(match[0]) or names.named[match[0].casefold()]
        yield Token("", at + match.start(), at + match.end(), part=part)
        done = match.end()
    yield from tokens(text[done:], at + done)
