"""The index that the first page searches: made beforehand, so that it works without a server.

A word is a run of letters and digits, in lower case and without accents; the script of the page cuts what is
typed in the same way. Each word names the places that hold it, by their numbers.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class Place:
    """Something that can be found."""

    kind: str
    """`manual`, `draft` or `refused` of one case; `unit`, `part` or `rule`."""
    title: str
    under: str
    """What stands below the title."""
    address: str
    text: str
    """What else it is found by."""


def index(places: Iterable[Place]) -> Markup:
    """The index as JSON, for a block of data in a page: `<` never stands in it as itself.

    `places` holds kind, title, second line and address of each; `words` the numbers of the places that hold a
    word, each told as its distance from the one before.
    """
    every = tuple(places)
    found: dict[str, list[int]] = {}
    for number, place in enumerate(every):
        for word in words(f"{place.title} {place.under} {place.text}"):
            found.setdefault(word, []).append(number)
    told = {
        "places": [[place.kind, place.title, place.under, place.address] for place in every],
        "words": {word: _distances(found[word]) for word in sorted(found)},
    }
    written = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
    return Markup(written.replace("<", "\\u003c"))  # noqa: S704 - no sign that could end the block is left


def words(text: str) -> frozenset[str]:
    """The words of a text."""
    bare = (c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return frozenset(_WORD.findall("".join(bare).lower()))


def _distances(numbers: list[int]) -> list[int]:
    return [number - before for before, number in zip([0, *numbers], numbers, strict=False)]
