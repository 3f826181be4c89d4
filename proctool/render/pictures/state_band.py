"""The state band: steps across, what the parts hold down, the worst over all orders.

Parts that hold the same after every step share a row. A bar is full where a part may be live, half and
hatched where energy may be trapped in it, a thin line where it is surely zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from proctool.model.plan import Plan
from proctool.model.verdict import Charge, Proof
from proctool.render.layout import lay_out
from proctool.render.pictures.picture import (
    PAGE,
    Box,
    Group,
    Mark,
    Path,
    Picture,
    Rect,
    hatching,
    lines,
    path,
    tall,
)
from proctool.render.pictures.text import measure, wrap
from proctool.render.speech import fixed, say
from proctool.render.words import CHARGES, capital, commas, listed, ranges, term

_SIZE, _SMALL = 9.5, 8.0
_LEAST, _MOST = 17.0, 26.0
"""Width of a step."""
_BAR = 12.0
_MARK = 8.0
"""Room under a bar for the sign of what is opened."""
_SAMPLE = 28.0
_OPENING = frozenset({"open", "uncover"})
_PARTLY = fixed("Not every order of the steps could be followed: this is what was found so far, not a proof.")
_TOLD = fixed(
    "Steps across, parts down: the worst over all orders of the steps. A full bar is live, a hatched "
    "half bar trapped, a thin line zero; a triangle marks a step that opens a part. Steps that are "
    "done only when a check fails are not drawn."
)
_AFTER = {
    Charge.LIVE: fixed("live after {steps}"),
    Charge.TRAPPED: fixed("trapped after {steps}"),
    Charge.ZERO: fixed("zero after {steps}"),
    None: fixed("not reached after {steps}"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """Parts that hold the same of one energy after every step."""

    energy: str
    """Its name."""
    parts: tuple[str, ...]
    """Their ids."""
    labels: tuple[str, ...]
    charges: tuple[Charge | None, ...]
    """After each step; None where no order comes to it."""
    opened: frozenset[int]
    """Places of the steps that open one of them."""

    @property
    def title(self) -> str:
        """Energy and parts, as they stand above the row."""
        return say("{energy}: {parts}", energy=capital(self.energy), parts=listed(self.labels))


def state_band(plan: Plan, proof: Proof, *, width: float = PAGE) -> Picture:
    """The worst that each part holds after each main step, `width` wide; long procedures go on in blocks.

    Steps are numbered as on the page. Those that are done when a check fails are not among them.
    """
    order = lay_out(plan.frame, plan.unit.parts).order
    steps = [plan.frame.steps[place] for place in order]
    rows = _rows(plan, proof, order)
    most = max(1, int(width // _LEAST))
    blocks = -(-len(steps) // most) or 1
    across = -(-len(steps) // blocks) or 1
    cell = min(width / across, _MOST)
    marks: list[Mark] = []
    at = 2.0
    for first in range(0, len(steps), across):
        shown = range(first, min(first + across, len(steps)))
        block, at = _block(plan, order, rows, shown, cell, width, at)
        marks += block
        at += 16
    legend, at = _legend(width, at)
    return Picture(
        kind="state-band",
        title=say(
            "What each part can hold after each step of {title} on {unit}",
            title=plan.title,
            unit=plan.unit.id,
        ),
        told=say(_TOLD) if proof.explored else f"{say(_PARTLY)} {say(_TOLD)}",
        entries=tuple(_entry(row) for row in rows),
        width=width,
        height=at,
        marks=(*marks, *legend),
    )


def _rows(plan: Plan, proof: Proof, order: Sequence[int]) -> list[Row]:
    """A row for each course of charges, energy by energy, in file order."""
    steps = [plan.frame.steps[place] for place in order]
    known = {pair for step in steps for pair in proof.worst.get(step.id, {})}
    found: dict[tuple[str, tuple[Charge | None, ...]], list[str]] = {}
    for energy in plan.unit.energies:
        for part in plan.unit.parts:
            if (part, energy) in known:
                course = tuple(proof.worst.get(step.id, {}).get((part, energy)) for step in steps)
                found.setdefault((energy, course), []).append(part)
    rows = []
    for (energy, course), parts in found.items():
        opened = {
            n
            for n, step in enumerate(steps)
            if any(act.verb in _OPENING and act.part in parts for act in step.acts)
        }
        labels = tuple(plan.unit.parts[part].label for part in parts)
        rows.append(Row(plan.unit.energies[energy].name, tuple(parts), labels, course, frozenset(opened)))
    return rows


def _block(
    plan: Plan, order: Sequence[int], rows: Sequence[Row], shown: range, cell: float, width: float, at: float
) -> tuple[list[Mark], float]:
    """The rows for some of the steps, under their numbers; and where they end below."""
    marks: list[Mark] = []
    titles = [plan.frame.steps[order[n]].heading[:1] for n in shown]
    breaks = [0, *(n for n in range(1, len(titles)) if titles[n] != titles[n - 1]), len(titles)]
    named = False
    for start, end in pairwise(breaks):
        title = titles[start][0] if titles[start] else ""
        if title and measure(title, _SIZE, bold=True) <= (end - start) * cell - 4:
            marks += lines((title,), start * cell + 3, at, _SIZE, anchor="start", bold=True)
            named = True
    at += tall(1, _SIZE) + 2 if named else 0
    for n, place in enumerate(shown):
        marks += lines((str(place + 1),), (n + 0.5) * cell, at, _SMALL, paint="text-soft")
    at += tall(1, _SMALL) + 3
    edges = [edge * cell for edge in breaks[1:-1]]
    for row in rows:
        texts = wrap(row.title, width - 4, _SIZE)
        marks += lines(texts, 2, at, _SIZE, anchor="start")
        at += tall(len(texts), _SIZE) + 1
        marks += _bars(row, shown, cell, at)
        # Between groups of steps, beside the bars only: a line through the names would strike them out.
        marks += (Path(path((edge, at), (edge, at + _BAR + _MARK - 3)), "stroke-soft") for edge in edges)
        at += _BAR + _MARK
    return marks, at


def _bars(row: Row, shown: range, cell: float, at: float) -> Iterator[Mark]:
    """The bars of one row, and triangles under the steps that open a part of it."""
    place = 0
    for charge, run in groupby(row.charges[n] for n in shown):
        count = len(list(run))
        x, wide = place * cell, count * cell
        steps = f"{shown[place] + 1}-{shown[place] + count}"
        state = charge.value if charge else ""
        data = (("energy", row.energy), ("parts", " ".join(row.parts)), ("steps", steps), ("state", state))
        yield Group("run", tuple(_bar(charge, x, at, wide)), data)
        place += count
    for n, step in enumerate(shown):
        if step in row.opened:
            yield from _triangle((n + 0.5) * cell, at + _BAR + 1)


def _triangle(x: float, top: float) -> Iterator[Mark]:
    yield Path(path((x, top), (x + 4, top + 6), (x - 4, top + 6), closed=True), "solid")


def _bar(charge: Charge | None, x: float, at: float, wide: float) -> Iterator[Mark]:
    if charge is Charge.LIVE:
        yield Rect(x, at, wide, _BAR, "bar-live")
    elif charge is Charge.TRAPPED:
        box = Box(x, at + _BAR / 2, x + wide, at + _BAR)
        yield Rect(x, box.top, wide, _BAR / 2, "bar-trapped")
        edges = (path((x, y), (x + wide, y)) for y in (box.top, box.bottom))
        yield Path(" ".join((hatching(box, 7), *edges)), "hatch")
    elif charge is Charge.ZERO:
        yield Rect(x, at + _BAR - 2, wide, 2, "bar-zero")


def _legend(width: float, at: float) -> tuple[list[Mark], float]:
    """What bars and triangles mean; and where that ends below."""
    marks: list[Mark] = [Path(path((0, at - 6), (width, at - 6)), "grid")]
    x = 0.0
    for charge in (Charge.LIVE, Charge.TRAPPED, Charge.ZERO, None):
        text = (
            say("{state}: {meaning}", state=term(charge), meaning=say(CHARGES[charge]))
            if charge
            else say("the step opens a part of the row")
        )
        wide = _SAMPLE + 6 + measure(text, _SIZE) + 16
        if x and x + wide > width:
            x, at = 0.0, at + _BAR + 8
        marks += _bar(charge, x, at, _SAMPLE) if charge else _triangle(x + _SAMPLE / 2, at + 2)
        marks += lines((text,), x + _SAMPLE + 6, at, _SIZE, anchor="start")
        x += wide
    return marks, at + _BAR + 8


def _entry(row: Row) -> str:
    """One row in words."""
    said: list[str] = []
    for charge, after in _AFTER.items():
        places = [n + 1 for n, its in enumerate(row.charges) if its is charge]
        if places:
            said.append(say(after, steps=ranges(places)))
    if not row.opened:
        return say("{row}: {states}.", row=row.title, states=commas(said))
    return say(
        "{row}: {states}; opened in {steps}.",
        row=row.title,
        states=commas(said),
        steps=ranges(n + 1 for n in row.opened),
    )
