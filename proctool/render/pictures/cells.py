"""The cells of an energy diagram: a part with its symbol or box, its names, and what hangs on it.

A cell is drawn around the middle of its row, where its wires come in from left and right. Holders are boxes;
their gauges hang on stems above them and their ways out below, in the same column. All else is a symbol with
its tag and name under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from proctool.model.unit import Energy, Part, Unit
from proctool.model.words import Role
from proctool.render.pictures import symbols
from proctool.render.pictures.network import Drawn
from proctool.render.pictures.overlay import Overlay, is_off, is_open, sign
from proctool.render.pictures.picture import Group, Label, Mark, Path, Rect, lines, path, tall
from proctool.render.pictures.text import measure, wrap
from proctool.render.words import commas, term

SIZE = 10.5
SMALL = 9.5
_PAD = 6.0
_STEM = 7.0
"""From the left edge of a box to its first stem, and from stem to stem."""
ASIDE = 4.0
"""How much lower a wire comes in that would lie on another."""
_SAMPLE = 21.0
"""Length of the sample of a line style beside the name of its energy."""
_SIGN = 13.0
"""Room for the sign of what a part holds, before the sample."""


@dataclass(frozen=True, slots=True)
class Text:
    """Lines of one kind."""

    lines: tuple[str, ...]
    size: float = SIZE
    bold: bool = False
    paint: str = "text"

    @property
    def height(self) -> float:
        """How high they stand."""
        return tall(len(self.lines), self.size)


@dataclass(frozen=True, slots=True)
class _Row:
    """One energy of a box: its name, and where that stands from the upper left of the sample of its line."""

    energy: str
    text: Text
    indent: float
    below: float

    @property
    def height(self) -> float:
        """How high it stands, with the room under it."""
        return self.below + self.text.height + 1


@dataclass(frozen=True, slots=True)
class Cell:
    """How much room a part takes around the middle of its row."""

    up: float
    down: float
    half: float
    """Half the width of its symbol or box: where wires meet it."""


@dataclass(frozen=True, slots=True)
class Pen:
    """What all cells of a diagram share."""

    unit: Unit
    drawn: Drawn
    overlay: Overlay | None
    energies: Mapping[str, tuple[str, ...]]
    """On whose lines each part stands."""
    paints: Mapping[str, str]
    """The line style of each energy."""
    shift: Mapping[str, float]
    """How far below the middle of a row each energy runs."""
    width: float
    """Of a column."""

    def cell(self, name: str) -> Cell:
        """How much room a part takes."""
        part = self.unit.parts[name]
        if not part.holder:
            return Cell(symbols.REACH + 4 - min(self._lift(part), 0), self._below(part)[-1], _half(part))
        half = self._box_height(part) / 2
        up = sum(self._hung_height(gauge) for gauge in self.drawn.above.get(name, ()))
        down = sum(self._hung_height(vent) for vent in self.drawn.below.get(name, ()))
        return Cell(half + up, half + down, self.width / 2 - 2)

    def group(self, name: str, x: float, y: float, *, turned: bool) -> Group:
        """A part around the middle of its cell, with what hangs on it."""
        part = self.unit.parts[name]
        if part.holder:
            half = self._box_height(part) / 2
            hung = (*self._stack(part, x, y - half, -1), *self._stack(part, x, y + half, 1))
            return Group("cell", (*hung, self._named(part, self._box(part, x, y))))
        middle = y + self._lift(part)
        texts = [
            label
            for text, top in zip(self._texts(part, self.width - 4), self._below(part), strict=False)
            for label in lines(text.lines, x, y + top, text.size, bold=text.bold, paint=text.paint)
        ]
        drawing = (*self._ties(part, x, y), *self._symbol(part, x, middle, turned=turned))
        return self._named(part, (*drawing, *texts))

    def _ties(self, part: Part, x: float, y: float) -> Iterator[Mark]:
        """At both ends of a symbol what brings several wires together."""
        heights = {self.shift[energy] for energy in self.energies[part.id]}
        if len(heights) > 1 and part.role is not Role.RESTRICTION:
            for end in (x - symbols.HALF, x + symbols.HALF):
                yield Path(path((end, y + min(heights)), (end, y + max(heights))), "stroke")

    def apart(self, name: str, x: float, y: float, room: float) -> tuple[Group, float]:
        """A part that hangs nowhere, its top left at (x, y), and how high it is."""
        part = self.unit.parts[name]
        texts = self._texts(part, room - 2 * symbols.HALF - 6)
        height = max(2 * symbols.REACH, sum(text.height for text in texts)) + 4
        drawing = self._symbol(part, x + symbols.HALF, y + height / 2, turned=False)
        words = _column(texts, x + 2 * symbols.HALF + 6, y + height / 2)
        return self._named(part, (*drawing, *words)), height

    def _named(self, part: Part, marks: tuple[Mark, ...]) -> Group:
        return Group("part", marks, (("part", part.id), ("role", part.role.value)))

    def _symbol(self, part: Part, x: float, y: float, *, turned: bool) -> tuple[Mark, ...]:
        if part.role is Role.GAUGE:
            return symbols.gauge(self._energy(part), x, y)
        if part.role is Role.VENT:
            return symbols.vent(self._energy(part), x, y, opened=is_open(part, self.overlay), turned=turned)
        return symbols.symbol(part, x, y, off=is_off(part, self.overlay), turned=turned)

    def _energy(self, part: Part) -> Energy | None:
        name = part.energy or next(iter(self.energies[part.id]), "")
        return self.unit.energies.get(name)

    def _lift(self, part: Part) -> float:
        """How far below the middle of its row a symbol stands: with its wires, if all run at one height."""
        heights = {self.shift[energy] for energy in self.energies[part.id]}
        return heights.pop() if len(heights) == 1 else 0.0

    def _texts(self, part: Part, room: float) -> list[Text]:
        """Tag and name of a part, what a source feeds, how a device stands."""
        texts = [Text(wrap(part.tag or "", room, SIZE, bold=True), bold=True)]
        texts.append(Text(wrap(part.name, room, SIZE)))
        if part.role in {Role.SOURCE, Role.OUTLET}:
            fed = [self.unit.energies[energy] for energy in self.energies[part.id]]
            text = commas(f"{energy.name} {energy.normal}".strip() for energy in fed)
            texts.append(Text(wrap(text, room, SMALL), SMALL, paint="text-soft"))
        said = commas(map(term, self.overlay.words.get(part.id, ()))) if self.overlay else ""
        texts.append(Text(wrap(said, room, SMALL, bold=True), SMALL, bold=True))
        return [text for text in texts if text.lines]

    def _below(self, part: Part) -> list[float]:
        """From the middle of the row: the tops of the texts under a symbol, and the lower end of the last."""
        heights = [abs(self.shift[energy]) for energy in self.energies[part.id]]
        wires = max(heights, default=0) + ASIDE
        tops = [max(symbols.REACH + self._lift(part), wires) + 4]
        for text in self._texts(part, self.width - 4):
            tops.append(tops[-1] + text.height)
        return tops

    def _rows(self, part: Part) -> list[_Row]:
        """The energies of a box, each with its name."""
        indent = _SAMPLE + 4 + (_SIGN if self.overlay else 0)
        room = self.width - 4 - 2 * _PAD
        names = ((energy, self.unit.energies[energy].name) for energy in self.energies[part.id])
        return [_row(energy, name, room, indent) for energy, name in names]

    def _box_height(self, part: Part) -> float:
        texts = sum(text.height for text in self._texts(part, self.width - 4 - 2 * _PAD))
        rows = sum(row.height for row in self._rows(part))
        reach = max([abs(self.shift[energy]) for energy in self.energies[part.id]], default=0)
        return max(texts + rows + 3 + 2 * _PAD, 2 * reach + 20)

    def _box(self, part: Part, x: float, y: float) -> tuple[Mark, ...]:
        """A holder; a store, which keeps energy of its own, has a second wall."""
        half, height = self.width / 2 - 2, self._box_height(part)
        left, top = x - half, y - height / 2
        store = part.role is Role.STORE
        marks: list[Mark] = [Rect(left, top, 2 * half, height, "body", 10 if store else 2)]
        if store:
            marks.append(Rect(left + 2.5, top + 2.5, 2 * half - 5, height - 5, "stroke-soft", 8))
        at = top + _PAD
        for text in self._texts(part, self.width - 4 - 2 * _PAD):
            marks += lines(
                text.lines, left + _PAD, at, text.size, anchor="start", bold=text.bold, paint=text.paint
            )
            at += text.height
        at += 3
        for row in self._rows(part):
            sample, middle = left + _PAD, at + SMALL * 0.6
            if self.overlay:
                marks.append(sign(part.id, row.energy, self.overlay, sample + 5, middle))
                sample += _SIGN
            marks.append(Path(path((sample, middle), (sample + _SAMPLE, middle)), self.paints[row.energy]))
            marks += lines(row.text.lines, left + _PAD + row.indent, at + row.below, SMALL, anchor="start")
            at += row.height
        return tuple(marks)

    def _stack(self, part: Part, x: float, edge: float, way: int) -> tuple[Mark, ...]:
        """What hangs above (`way` -1) or below (1) a box, from its edge on, with the stems it hangs on."""
        hung = (self.drawn.above if way < 0 else self.drawn.below).get(part.id, ())
        left = x - self.width / 2 + 2
        stems = self._stems(hung)
        groups: list[Mark] = []
        ends: dict[str, float] = {}
        at = edge
        for name in hung:
            height = self._hung_height(name)
            middle = at + way * height / 2
            at += way * height
            symbol_x = left + _STEM * (len(stems) + 1) + symbols.HALF
            other = self.unit.parts[name]
            for energy in self.drawn.hung[name]:
                start = left + _STEM * (stems.index(energy) + 1)
                offset = self._fan(name, energy)
                stub = path((start, middle + offset), (symbol_x - _half(other), middle + offset))
                groups.append(Path(stub, self.paints[energy]))
                ends[energy] = middle + offset
            texts = _column(
                self._texts(other, self._hung_room(len(stems))), symbol_x + symbols.HALF + 5, middle
            )
            groups.append(self._named(other, (*self._symbol(other, symbol_x, middle, turned=False), *texts)))
        risers = []
        for energy, end in ends.items():
            stem = left + _STEM * (stems.index(energy) + 1)
            risers.append(Path(path((stem, edge), (stem, end)), self.paints[energy]))
        return (*risers, *groups)

    def _stems(self, hung: Sequence[str]) -> list[str]:
        """The energies that hung parts are reached by, each of which has a stem."""
        return list(dict.fromkeys(energy for name in hung for energy in self.drawn.hung[name]))

    def _fan(self, name: str, energy: str) -> float:
        """How far below its middle an energy reaches a hung part."""
        every = self.drawn.hung[name]
        return (every.index(energy) - (len(every) - 1) / 2) * 6

    def _hung_room(self, stems: int) -> float:
        return self.width - 4 - _STEM * (stems + 1) - 2 * symbols.HALF - 5

    def _hung_height(self, name: str) -> float:
        holder = next(
            hung for side in (self.drawn.above, self.drawn.below) for hung in side.values() if name in hung
        )
        texts = self._texts(self.unit.parts[name], self._hung_room(len(self._stems(holder))))
        return max(2 * symbols.REACH, sum(text.height for text in texts)) + 6


def _row(energy: str, name: str, room: float, indent: float) -> _Row:
    """An energy beside the sample of its line, or under it where a word of it would not fit beside."""
    beside = all(measure(word, SMALL) <= room - indent for word in name.split())
    indent, below = (indent, 0.0) if beside else (0.0, tall(1, SMALL))
    return _Row(energy, Text(wrap(name, room - indent, SMALL), SMALL), indent, below)


def _half(part: Part) -> float:
    """Half the width of a symbol."""
    return symbols.GAUGE if part.role is Role.GAUGE else symbols.HALF


def _column(texts: Sequence[Text], x: float, middle: float) -> tuple[Label, ...]:
    """Texts under one another from `x` on, together around a height."""
    at = middle - sum(text.height for text in texts) / 2
    found: list[Label] = []
    for text in texts:
        found += lines(text.lines, x, at, text.size, anchor="start", bold=text.bold, paint=text.paint)
        at += text.height
    return tuple(found)
