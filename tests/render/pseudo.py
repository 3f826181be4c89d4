"""A language whose words are the English ones between ⟦ and ⟧, and what a page says in no language of ours.

Only the words of a message stand between the signs, not the values that are put into it: what is left of a
page without them was written by the authors of the library, or escaped the catalogue.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from gettext import NullTranslations
from html.parser import HTMLParser
from pathlib import Path

from proctool.model import document
from proctool.render import prose

POT = Path(__file__).parents[2] / "proctool" / "render" / "locale" / "pages.pot"
_MESSAGE = re.compile(r'^msgid(?:_plural)? (".*")$', re.MULTILINE)
_VALUE = re.compile(r"(\{\w+\})")
_SAID = re.compile("⟦[^⟧]*⟧")
_WORD = re.compile(r"[^\W_]+(?:[-'./][^\W_]+)*")
_NUMBER = "[-\N{MINUS SIGN}]?\\d[\\d.,/]*"
_MEASURES = r"(?:bar|psi|V|A|W|kW|°C|°F|K|s|min|h|d|N·m|mm|L|mL|ppm|mg/L|%|L/min|MPa|kPa|hours|hour|day|days)"
_AMOUNT = re.compile(
    rf"(?<!\w){_NUMBER}(?: to {_NUMBER})? ?{_MEASURES}(?!\w)(?: or (?:less|more))?"
    rf"|(?<!\w){_NUMBER} to {_NUMBER}(?!\w)"
)
"""Amounts are written as in the files of a library, in every language."""
_SIGN = re.compile(r"(?<!\w)[A-Z](?!\w)|\{\w+\}|[0-9a-f]{12,}")
"""Letters of symbols, places that a script fills in, digests."""
_WORDS_OF_SCRIPTS = frozenset({"page-words", "found", "hits", "count"})
_ATTRIBUTES = frozenset({"aria-label", "alt", "title", "placeholder", "data-label"})
_NOT_THE_AUTHORS = frozenset({"verb", "word", "kind", "starts", "leaves", "id", "form", "role"})
"""Fields that hold words of the file format: what a page shows of them is ours to say."""


class Pseudo(NullTranslations):
    """Knows the messages of the catalogue alone: any other stays as it is."""

    def __init__(self) -> None:
        super().__init__()
        found = _MESSAGE.findall(POT.read_text(encoding="utf-8"))
        self.messages = frozenset(ast.literal_eval(text) for text in found) - {""}

    def gettext(self, message: str) -> str:
        return _signed(message) if message in self.messages else message

    def ngettext(self, one: str, many: str, number: int) -> str:
        return self.gettext(one if number == 1 else many)


def _signed(message: str) -> str:
    pieces = _VALUE.split(message)
    return "".join(p if _VALUE.fullmatch(p) else f"⟦{p}⟧" if p else "" for p in pieces)


class _Reader(HTMLParser):
    """The texts of a page, piece by piece; those of a picture in one: its lines are parts of sentences."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._silent = 0
        self._drawn: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = {name: value or "" for name, value in attrs}
        self._silent += tag in {"script", "style"}
        if tag == "svg":
            self._drawn = []
        scripts = known.get("id") in _WORDS_OF_SCRIPTS
        self.found += (
            value
            for name, value in known.items()
            if name in _ATTRIBUTES or (scripts and name.startswith("data-"))
        )

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in {"script", "style"}
        if tag == "svg" and self._drawn is not None:
            self.found.append(" ".join(" ".join(self._drawn).split()))
            self._drawn = None

    def handle_data(self, data: str) -> None:
        if not self._silent:
            (self.found if self._drawn is None else self._drawn).append(data)


def authored(*things: object) -> frozenset[str]:
    """The phrases that the authors of a library wrote, in lower case, without what stands between words."""
    found: set[str] = set()
    for text in _strings(things):
        reader = _Reader()
        reader.feed(prose.block(text))
        for piece in (text, *reader.found):
            found |= {"".join(_words(part)) for part in _parts(piece)}
    return frozenset(found)


def _strings(thing: object) -> Iterator[str]:
    if isinstance(thing, Enum):
        return
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, document.Mapping):
        yield from _strings([value for _, value in thing.entries])
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            if field.name not in _NOT_THE_AUTHORS or (field.name == "id" and hasattr(thing, "title")):
                yield from _strings(getattr(thing, field.name))
        yield from _strings(getattr(thing, "label", None))
    elif isinstance(thing, Mapping):
        yield from _strings(tuple(thing.values()))
    elif isinstance(thing, Iterable):
        for one in thing:
            yield from _strings(one)


def leaks(page: str, known: frozenset[str]) -> list[str]:
    """Texts of a page with words that neither the catalogue nor the authors said."""
    reader = _Reader()
    reader.feed(page.replace("\u200b", ""))
    found: dict[str, None] = {}
    for text in reader.found:
        for part in _parts(_SAID.sub("\n", text)):
            if not _told(_words(part), known):
                found[" ".join(part.split())] = None
    return list(found)


def _parts(text: str) -> list[str]:
    return re.split(r"\n| · |: |; |[()“”]", _SIGN.sub("\n", _AMOUNT.sub("\n", text)))


def _words(text: str) -> tuple[str, ...]:
    return tuple(word for word in _WORD.findall(text.casefold()) if not word.replace(".", "").isdigit())


def _told(words: tuple[str, ...], known: frozenset[str]) -> bool:
    """Whether words are whole phrases, one after the other."""
    ends = {0}
    for end in range(1, len(words) + 1):
        if any(start in ends and "".join(words[start:end]) in known for start in range(end)):
            ends.add(end)
    return len(words) in ends
