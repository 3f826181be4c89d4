"""The network of a unit drawn for a terminal: each line from top to bottom, what hangs on it beside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import zip_longest

from proctool.model.unit import Line, Part, Unit
from proctool.model.words import Position, Role
from proctool.report.columns import harmless, padded, wrapped

SYMBOLS = {
    Role.SOURCE: ("▶", "source"),
    Role.ISOLATOR: ("◫", "isolator"),
    Role.CHECK_VALVE: ("↧", "check valve"),
    Role.RESTRICTION: ("≈", "may block"),
    Role.COMPONENT: ("●", "holds energy"),
    Role.STORE: ("◉", "keeps energy of its own"),
    Role.VENT: ("▽", "way out"),
    Role.GAUGE: ("◎", "gauge"),
    Role.OUTLET: ("◁", "leaves the unit"),
}
"""The sign of each role and what it says; our own."""
_CROSSING = "┄"
"""Another line that goes on from a part."""
_INDENT = "  "


@dataclass(slots=True)
class _Pen:
    """A drawing under way: what hangs on a part is drawn once."""

    unit: Unit
    width: int
    drawn: set[str] = field(default_factory=set)

    def row(self, lead: str, later: str, name: str, words: str) -> Iterator[str]:
        """A part and what it is, side by side, each wrapped."""
        middle = self.width * 3 // 5
        names, said = wrapped(name, middle - len(lead) - 2), wrapped(words, self.width - middle)
        for place, (left, right) in enumerate(zip_longest(names, said, fillvalue="")):
            yield f"{padded(f'{later if place else lead}{left}', middle)}{right}".rstrip()


def network(unit: Unit, width: int) -> list[str]:
    """A paragraph for each line of the unit, in file order; energy runs down, danger runs both ways.

    Beside a part hang its gauges, its ways out, and the lines that go on from it.
    """
    pen = _Pen(unit, width)
    twigs = {line.id for line in unit.lines.values() if _twig(unit, line) is not None}
    lines: list[str] = []
    for line in unit.lines.values():
        if line.id not in twigs:
            lines += [*_line(pen, line, twigs), ""]
    for line in unit.lines.values():
        if line.id in twigs and line.id not in pen.drawn:
            lines += [*_line(pen, line, twigs), ""]
    apart = [
        p for p in unit.parts.values() if p.role is Role.GAUGE and p.id not in pen.drawn and _off(unit, p)
    ]
    if apart:
        lines.append("carried to the unit")
        for part in apart:
            lines += _part(pen, part, "  ", "  ", _measured(unit, part))
        lines.append("")
    return lines


def legend(width: int) -> list[str]:
    """What the signs say."""
    said = [f"{sign} {word}" for sign, word in SYMBOLS.values()]
    return wrapped("; ".join([*said, f"{_CROSSING} another line goes on here"]) + ".", width)


def _twig(unit: Unit, line: Line) -> str | None:
    """The end of a line of two parts that is on no other line and hangs on the other one, else None."""
    if len(line.path) != 2:
        return None
    for here, there in (line.path, line.path[::-1]):
        others = [other for other in unit.lines.values() if other.id != line.id]
        if not any(there in o.path for o in others) and any(_passes(o, here, line) for o in others):
            return there
    return None


def _passes(other: Line, part: str, line: Line) -> bool:
    """Whether another line that is more than a twig leads an energy of this one through a part."""
    return len(other.path) > 2 and part in other.path and bool({*other.energies} & {*line.energies})


def _line(pen: _Pen, line: Line, twigs: set[str]) -> Iterator[str]:
    pen.drawn.add(line.id)
    energies = " and ".join(pen.unit.energies[e].name for e in line.energies)
    yield from wrapped(f"{line.id}: {energies}", pen.width)
    for place, name in enumerate(line.path):
        last = place == len(line.path) - 1
        part = pen.unit.parts[name]
        hanging = list(_hanging(pen, line, name, twigs))
        stem = " " if last else "│"
        yield from _part(pen, part, _INDENT, f"{_INDENT}{'│' if hanging else stem}")
        for count, (sign, label, words) in enumerate(hanging):
            end = count == len(hanging) - 1 and last
            lead = f"{_INDENT}{'└' if end else '├'}─{sign} "
            yield from pen.row(lead, f"{_INDENT}{' ' if end else '│'}   ", label, words)


def _part(pen: _Pen, part: Part, lead: str, later: str, words: str = "") -> Iterator[str]:
    sign = SYMBOLS[part.role][0]
    yield from pen.row(f"{lead}{sign} ", padded(later, len(lead) + 2), part.label, words or what(part))


def _hanging(pen: _Pen, line: Line, name: str, twigs: set[str]) -> Iterator[tuple[str, str, str]]:
    """Sign, name and words of what hangs on a part of a line."""
    unit = pen.unit
    for gauge in unit.gauges_next_to(name):
        on_line = any(gauge.id in other.path for other in unit.lines.values())
        if gauge.energy in line.energies and gauge.id not in pen.drawn and not on_line:
            pen.drawn.add(gauge.id)
            yield SYMBOLS[Role.GAUGE][0], gauge.label, _measured(unit, gauge)
    for other in unit.lines.values():
        if other.id == line.id or name not in other.path or not {*other.energies} & {*line.energies}:
            continue
        if other.id not in twigs:
            yield _CROSSING, harmless(f"line {other.id}"), "goes on from here"
        elif other.id not in pen.drawn and _twig(unit, other) != name:
            pen.drawn.add(other.id)
            end = unit.parts[other.path[1] if other.path[0] == name else other.path[0]]
            yield SYMBOLS[end.role][0], end.label, what(end)


def _off(unit: Unit, gauge: Part) -> bool:
    return not any(gauge.id in line.path for line in unit.lines.values())


def _measured(unit: Unit, gauge: Part) -> str:
    energy = unit.energies.get(gauge.energy or "")
    return f"gauge of {energy.name}" if energy is not None else "gauge"


def what(part: Part) -> str:
    """What a part is, in a few words."""
    match part.role:
        case Role.ISOLATOR:
            kind = f"isolator ({part.device.value})" if part.device else "isolator"
            normal = ", off in normal service" if part.normal is Position.OFF else ""
            return f"{kind}{normal}"
        case Role.OUTLET:
            return "leaves the unit, can feed back" if part.feeds_back else "leaves the unit"
        case Role.VENT:
            return "way out, open in normal service" if part.normally_open else "way out"
        case _:
            return SYMBOLS[part.role][1]
