"""Libraries of any size, built from a seed: families of water units, and procedures that open their housings.

One procedure in twenty is damaged: it opens a housing before the unit is made safe. The blocks are those that
`proctool new library` writes; air is let out of every housing, since all on one line are drained together.
"""

from __future__ import annotations

from importlib import resources
from random import Random

FAMILIES, UNITS, HOUSINGS = 25, 3, 4
"""Families of units, units of each, and the most housings of a unit."""
MEDIAN, SPREAD = 40, 0.35
"""Steps written in a procedure: their median, and the spread of a lognormal distribution around it."""
DAMAGED = 20
"""One in so many procedures is damaged."""

_UNIT = """\
unit: U{f}-{n}
title: Water skid {f}-{n} with pump
based_on: base-{f}
checked: {{by: A. Nyone, date: 2026-01-0{n}, drawing: D-{f}-{n}, serials: {n}00 and up}}
"""
_BASE = """\
base: base-{f}
family: F{f}
lockout: required
energies:
  water:
    form: liquid_pressure
    normal: 4.0 bar
    safe: 0 bar
    warning:
      {{word: warning, hazard: Water pressure., harm: It can injure you., avoid: Open nothing before 0 bar.}}
  mains:
    form: electricity
    normal: 230 V
    safe: 0 V
    warning:
      {{word: warning, hazard: Mains voltage., harm: It can kill you., avoid: Open nothing before 0 V.}}
parts:
  supply: {{role: source, name: water main}}
  inlet_valve:
    {{role: isolator, device: valve, name: inlet valve, tag: V1, place: left, lock: hasp, throttles: true}}
  pump: {{role: component, name: pump, runs: mains, to_stop: with its switch, near: []}}
  tap: {{role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}}
  socket: {{role: source, name: wall socket}}
  plug: {{role: isolator, device: plug, name: pump plug, tag: X1, place: behind the pump, lock: cover}}
{parts}lines:
  main: {{energy: water, path: [supply, inlet_valve, pump, {path}, tap]}}
  power: {{energy: mains, path: [socket, plug, pump]}}
{lines}"""
_PARTS = """\
  {h}: {{role: component, name: {name} housing, cartridge: {name} cartridge, seal: O-ring, tighten: 20 N·m,
    near: [pump], traps_air: true}}
  {h}_insert: {{role: restriction, name: {name} cartridge}}
  {h}_drain: {{role: vent, name: {name} drain, tag: D{k}, to: bucket}}
  {h}_gauge: {{role: gauge, name: {name} gauge, tag: P{k}, at: {h}, energy: water, span: 10 bar,
    accuracy: 1.6 %, division: 0.1 bar, usual: 1.0 to 6.0 bar}}
"""
_NAMES = ("sediment", "carbon", "fine", "polishing")

_OPENED = "  - each: {part: opens}\n    id: purge\n"
_DRAINED = "  - each: {part: {all: component}}\n    only: {traps_air: true}\n    id: purge\n"

_OPEN = """\
  - do: Unscrew the <{h}> with the <strap_wrench>.
    open: {h}
"""
_WORK = """\
  - do: Take the used cartridge out of the <{h}>.
    remove: {{part: {h}, what: cartridge}}
    once: true
"""
_CLOSE = """\
  - check: The O-ring of the <{h}> has no cut and no flat side.
    inspect_seal: {h}
    otherwise:
      steps:
        - do: Fit a new <o_ring> to the <{h}>.
          new_seal: {h}
      continue: true
  - do: Put a <new_cartridge> into the <{h}>.
    fit: {{part: {h}, what: cartridge}}
    once: true
  - do: Screw the <{h}> on by hand.
    close: {h}
  - tighten: {h}
"""
_MORE = (
    """\
  - do: Wipe place {i} of the <{h}> dry.
    id: wipe-{i}
    clean: the inside
""",
    """\
  - do: Look at thread {i} of the <{h}>.
    id: look-{i}
    note: A worn thread is told to the workshop.
""",
    """\
  - check: Face {i} of the <{h}> has no scratch.
    id: face-{i}
    otherwise:
      steps:
        - do: Smooth the face of the <{h}>.
      continue: true
""",
)


def library(procedures: int, seed: int = 0) -> dict[str, str]:
    """The files of a library by path."""
    rng = Random(seed)  # noqa: S311 - instances, not secrets
    start = resources.files("proctool.start")
    files = {"library.yaml": (start / "library.yaml").read_text(encoding="utf-8")}
    for name in ("make-safe", "return-to-service"):
        text = (start / "blocks" / f"{name}.yaml").read_text(encoding="utf-8")
        files[f"blocks/{name}.yaml"] = text.replace(_OPENED, _DRAINED)
    housings = {f: rng.randint(2, HOUSINGS) for f in range(min(FAMILIES, procedures))}
    for f, count in housings.items():
        files[f"units/base-{f}.yaml"] = _base(f, _NAMES[:count])
        files |= {f"units/u{f}-{n}.yaml": _UNIT.format(f=f, n=n) for n in range(1, UNITS + 1)}
    for number in range(procedures):
        f = number % len(housings)
        text = _procedure(number, f, _NAMES[: housings[f]], rng, damaged=number % DAMAGED == DAMAGED - 1)
        files[f"f{f}/p{number}.yaml"] = text
    return files


def _base(f: int, names: tuple[str, ...]) -> str:
    parts = "".join(_PARTS.format(h=name, name=name, k=k) for k, name in enumerate(names, start=2))
    lines = "".join(f"  {name}_out: {{energy: water, path: [{name}, {name}_drain]}}\n" for name in names)
    path = ", ".join(f"{name}, {name}_insert" for name in names)
    return _BASE.format(f=f, parts=parts, path=path, lines=lines)


def _procedure(number: int, f: int, names: tuple[str, ...], rng: Random, *, damaged: bool) -> str:
    """Safe, then each housing opened, worked on and closed, then back to service."""
    opened = names[: rng.randint(1, len(names))]
    steps = max(12, round(rng.lognormvariate(0, SPREAD) * MEDIAN))
    more = max(0, steps - 3 - 6 * len(opened))
    head = (
        f"procedure: p{number}\ntitle: Service {number}\nunits: [F{f}]\ntime: 40 min\npeople: [technician]\n"
    )
    work, i = [], 0
    for place, h in enumerate(opened):
        share = more // len(opened) + (place < more % len(opened))
        inner = []
        for _ in range(share):
            i += 1
            inner.append(rng.choice(_MORE).format(h=h, i=i))
        work.append("".join([_OPEN.format(h=h), _WORK.format(h=h), *inner, _CLOSE.format(h=h)]))
    safe = "  - use: make-safe\n"
    parts = [_OPEN.format(h=opened[0]), safe, work[0].removeprefix(_OPEN.format(h=opened[0])), *work[1:]]
    body = "".join(parts if damaged else [safe, *work])
    return (
        f"{head}opens: [{', '.join(opened)}]\ndue:\n  - every: 6 months\nsteps:\n"
        f"  - do: Put on your <glasses>.\n{body}  - use: return-to-service\n"
        "    otherwise: {steps: [{use: make-safe}], end_here: Take the unit out of use and call for help.}\n"
        "revisions:\n  - {number: 1, date: 2026-01-01, by: A. Nyone, why: First issue}\n"
    )
