"""Symbols of parts, in the shapes that piping and electrical drawings share.

From memory of ISO 10628-2 (valves, check valves, vessels, blinds, arrows of inlets and outlets), ISO 14617
(restrictions, instruments) and IEC 60617 (plug and socket, disconnector, circuit breaker, earth); drawn anew
and simplified to what a phone shows. Each stands around a middle with its ends left and right.
"""

from __future__ import annotations

from proctool.model.unit import Energy, Part
from proctool.model.words import FLUIDS, Device, Form, Role
from proctool.render.pictures.picture import Circle, Label, Mark, Path, Rect, path

HALF = 12.0
"""Half the width of a symbol."""
GAUGE = 9.5
"""Radius of a gauge."""
REACH = 10.0
"""How far it stands above and below its middle."""

_LETTERS = {
    Form.HEAT: "T",
    Form.CHEMICAL: "A",
    Form.ELECTRICITY: "V",
    Form.MOTION: "S",
    Form.RADIATION: "R",
    Form.GRAVITY: "W",
    Form.SPRING: "W",
}
"""Letter in the circle of a gauge; `P` for a pressure. From memory of ISA 5.1, and of IEC 60617 for `V`."""


def symbol(part: Part, x: float, y: float, *, off: bool, turned: bool = False) -> tuple[Mark, ...]:
    """The symbol of a part on a line, around (x, y).

    `off` draws an isolator that passes nothing; `turned` mirrors what has a direction.
    """
    if part.role is Role.SOURCE:
        return _arrow(x, y, "solid", turned=turned)
    if part.role is Role.OUTLET:
        return _both_ways(x, y) if part.feeds_back else _arrow(x, y, "body", turned=turned)
    if part.role is Role.CHECK_VALVE:
        return _check_valve(x, y, turned=turned)
    if part.role is Role.RESTRICTION:
        return _restriction(x, y)
    if part.role is Role.ISOLATOR:
        return _ISOLATORS[part.device or Device.DISCONNECTOR](x, y, off)
    return _bow_tie(x, y, filled=False)


def gauge(energy: Energy | None, x: float, y: float) -> tuple[Mark, ...]:
    """A gauge: a circle with the letter of what it reads."""
    letter = "?" if energy is None else _LETTERS.get(energy.form, "P")
    return Circle(x, y, GAUGE, "body"), Label(x, y + 4, letter, 11, bold=True)


def vent(
    energy: Energy | None, x: float, y: float, *, opened: bool, turned: bool = False
) -> tuple[Mark, ...]:
    """A way out: for a fluid a small valve with an arrow away from it, else a switch to earth.

    It is met from the left, or `turned` from the right.
    """
    s = -1 if turned else 1
    if energy is None or energy.form in FLUIDS or energy.form in {Form.HEAT, Form.CHEMICAL}:
        away = path((x + s * 4, y), (x + s * 9, y), (x + s * 9, y + 9))
        head = path((x + s * 9 - 3, y + 5), (x + s * 9, y + 9), (x + s * 9 + 3, y + 5))
        return Path(away, "stroke"), Path(head, "stroke"), *_bow_tie(x - s * 4, y, filled=not opened, size=8)
    ticks = [(x + s * (5 + 3 * n), 8 - 3 * n) for n in range(3)]
    bars = " ".join(path((at, y - half), (at, y + half)) for at, half in ticks)
    tip = (x + s * 2, y - 8) if not opened else (x + s * 5, y)
    return (Path(f"{path((x - s * HALF, y), (x - s * 8, y), tip)} {bars}", "stroke"),)


def _arrow(x: float, y: float, paint: str, *, turned: bool) -> tuple[Mark, ...]:
    s = -1 if turned else 1
    corners = [(-12, -8), (3, -8), (12, 0), (3, 8), (-12, 8)]
    return (Path(path(*((x + s * dx, y + dy) for dx, dy in corners), closed=True), paint),)


def _both_ways(x: float, y: float) -> tuple[Mark, ...]:
    """An outlet that feeds back: half of it filled, as for a source."""
    whole = [(-13, 0), (-5, -8), (5, -8), (13, 0), (5, 8), (-5, 8)]
    half = [(-13, 0), (-5, -8), (0, -8), (0, 8), (-5, 8)]
    return (
        Path(path(*((x + dx, y + dy) for dx, dy in whole), closed=True), "body"),
        Path(path(*((x + dx, y + dy) for dx, dy in half), closed=True), "solid"),
    )


def _bow_tie(x: float, y: float, *, filled: bool, size: float = HALF) -> tuple[Mark, ...]:
    """A valve; filled where it is shut, as normally shut valves are drawn."""
    tall = size * 0.75
    corners = ((x - size, y - tall), (x + size, y + tall), (x + size, y - tall), (x - size, y + tall))
    return (Path(path(*corners, closed=True), "solid" if filled else "body"),)


def _check_valve(x: float, y: float, *, turned: bool) -> tuple[Mark, ...]:
    """A triangle against a bar: it lets pass towards the bar."""
    s = -1 if turned else 1
    triangle = path((x - s * 10, y - 8), (x + s * 8, y), (x - s * 10, y + 8), closed=True)
    bar = path((x + s * 9, y - 9), (x + s * 9, y + 9))
    return Path(triangle, "body"), Path(f"{bar} {_leads(x, y, 10, 9)}", "stroke")


def _restriction(x: float, y: float) -> tuple[Mark, ...]:
    """Two arcs that narrow the way."""
    arcs = f"M{x - 10:.1f} {y - 9:.1f} Q{x:.1f} {y - 1:.1f} {x + 10:.1f} {y - 9:.1f} "
    arcs += f"M{x - 10:.1f} {y + 9:.1f} Q{x:.1f} {y + 1:.1f} {x + 10:.1f} {y + 9:.1f}"
    return (Path(arcs, "stroke"),)


def _valve(x: float, y: float, off: bool) -> tuple[Mark, ...]:
    handle = path((x, y), (x, y - 8), (x - 5, y - 8), (x + 5, y - 8))
    return Path(handle, "stroke"), *_bow_tie(x, y, filled=off)


def _plug(x: float, y: float, off: bool) -> tuple[Mark, ...]:
    """A pin in the arc of its socket; drawn apart where it is pulled."""
    arc = f"M{x - 7:.1f} {y - 8:.1f} A8 8 0 0 1 {x - 7:.1f} {y + 8:.1f}"
    pin = x + (4 if off else -5)
    lead = path((pin + 6, y), (x + HALF, y))
    return (
        Path(f"{arc} {lead} {path((x - HALF, y), (x + (1 if off else -5), y))}", "stroke"),
        Rect(pin, y - 2.5, 6, 5, "solid"),
    )


def _leads(x: float, y: float, left: float, right: float) -> str:
    """From the ends of a symbol to what it draws, which reaches that far left and right."""
    return f"{path((x - HALF, y), (x - left, y))} {path((x + right, y), (x + HALF, y))}"


def _disconnector(x: float, y: float, off: bool) -> tuple[Mark, ...]:
    bar = path((x + 8, y - 6), (x + 8, y + 6))
    return _contact(x, y, bar, off=off)


def _breaker(x: float, y: float, off: bool) -> tuple[Mark, ...]:
    cross = f"{path((x + 5, y - 3), (x + 11, y + 3))} {path((x + 5, y + 3), (x + 11, y - 3))}"
    return _contact(x, y, cross, off=off)


def _contact(x: float, y: float, end: str, *, off: bool) -> tuple[Mark, ...]:
    """A blade between two ends: it stands off, or lies on the fixed contact with a gap one can see."""
    blade = path((x - 8, y), (x + 6, y - 9)) if off else path((x - 8, y), (x + 8, y - 1))
    return (
        Path(f"{_leads(x, y, 8, 8)} {end} {blade}", "stroke"),
        Circle(x - 8, y, 1.8, "solid"),
    )


def _blind(x: float, y: float, off: bool) -> tuple[Mark, ...]:
    """A plate with a hole and one without: the one on the line is in place."""
    return (
        Path(f"{path((x, y - 10), (x, y + 10))} {_leads(x, y, 0, 0)}", "stroke"),
        Circle(x, y - 5, 4.5, "solid" if not off else "body"),
        Circle(x, y + 4.5, 5, "solid" if off else "body"),
    )


_ISOLATORS = {
    Device.VALVE: _valve,
    Device.PLUG: _plug,
    Device.BREAKER: _breaker,
    Device.DISCONNECTOR: _disconnector,
    Device.BLIND: _blind,
}
