"""What is told of a part of a new unit, and the entries that come of it in the unit's file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.draft.writing.emit import WIDTH, scalar

_NO_LETTERS = re.compile(r"[^a-z0-9]+")
_WHOLE = re.compile(r"\[.*\]|\{.*\}")
"""Lists and maps."""
_ISOLATORS = frozenset({"valve", "plug"})
_TAGLESS = frozenset({"free", "from", "to", "at"})
"""Words after which no tag stands: why something is so, or what is joined."""
_EXAMPLES = {"from": "from inlet_pipe", "to": "to outlet_pipe", "at": "at outlet_pipe", "air": "air A1"}

Fields = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Named:
    """A part that is told, and the devices that it has, by word: tag and place (empty where not told)."""

    name: str
    has: ReadOnly[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """What the file calls it."""
        return id_of(self.name)


def named(text: str, words: Sequence[str], wanted: Sequence[str] = ()) -> Named | str:
    """A part from a text such as `water main, valve V1 at the wall`, or in plain words what is wrong.

    An isolator is nothing to go by without its tag and its place, so both must be told; so must each word
    that is `wanted`.
    """
    name, *pieces = (piece.strip() for piece in text.split(","))
    if not id_of(name)[:1].isalpha():
        return f"`{text}` has no name; expected one that begins with a letter, then {', '.join(words)}."
    has: dict[str, tuple[str, str]] = {}
    for piece in pieces:
        word, _, rest = piece.partition(" ")
        if word not in words or word in has:
            return f"`{piece}` in `{text}`: expected each of {', '.join(words)} at most once, with its tag."
        tag, _, place = ("", "", rest) if word in _TAGLESS else rest.strip().partition(" ")
        has[word] = tag, place.strip()
        if word in _ISOLATORS and not (tag and place):
            return f"`{piece}` in `{text}`: expected its tag and its place, such as `{word} V1 at the wall`."
        if word == "free" and not place:
            return f"`{piece}` in `{text}`: say why nothing comes back, such as `free ends above a sink`."
    for word in wanted:
        if not any(has.get(word, ())):
            return f"`{text}` does not say `{word}`; expected such as `{_EXAMPLES[word]}`."
    return Named(name, has)


def valve(name: str, at: tuple[str, str]) -> Fields:
    """What is said of a valve with a tag and a place."""
    return (("role", "isolator"), ("device", "valve"), ("name", name), *where(at), ("lock", "hasp"),
            ("throttles", "true"))  # fmt: skip


def where(at: tuple[str, str]) -> Fields:
    """Tag and place of a device."""
    return ("tag", at[0]), ("place", at[1])


def line(name: str, energies: Sequence[str], path: Sequence[str]) -> str:
    """A line of a unit."""
    carried = energies[0] if len(energies) == 1 else f"[{', '.join(energies)}]"
    whole = f"  {name}: {{energy: {carried}, path: [{', '.join(path)}]}}"
    folded = f"  {name}:\n    energy: {carried}\n    path: [{', '.join(path)}]"
    return whole if len(whole) <= WIDTH else folded


def energy_entry(name: str, fields: Fields, warning: tuple[str, str, str, str]) -> Iterator[str]:
    """An energy of a unit, with its safety message."""
    yield f"  {name}:"
    yield from (
        f"    {key}: {scalar(text)}" for key, text in fields if text and (key, text) != ("name", name)
    )
    yield "    warning:"
    words = zip(("word", "hazard", "harm", "avoid"), warning, strict=True)
    yield from (f"      {key}: {scalar(text)}" for key, text in words)


def part_entry(name: str, fields: Fields) -> str:
    """A part of a unit."""
    whole = f"  {name}: {inline(fields)}"
    return whole if len(whole) <= WIDTH else f"  {name}:\n    {inline(fields)}"


def inline(fields: Fields) -> str:
    """A map on one line, without what is empty. Lists and maps stand as they are told."""
    said = (
        f"{key}: {text if _WHOLE.fullmatch(text) else scalar(text, inline=True)}"
        for key, text in fields
        if text
    )
    return f"{{{', '.join(said)}}}"


def id_of(name: str) -> str:
    """The id that a name gives."""
    return _NO_LETTERS.sub("_", name.casefold()).strip("_")
