"""A small library on disk, the command line called on it, and what it said."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner

from proctool.api import RULES
from proctool.cli.main import main

DEMO = Path(__file__).parents[2] / "procedures"

LIBRARY = """\
library: Small plant
language: en
shows: {pressure: [bar, psi]}
people: {technician: service technician}
ppe: {glasses: safety glasses}
tools: {wrench: strap wrench}
supplies:
  o_ring: {name: housing O-ring, disposal: general waste}
  new_cartridge: {name: filter cartridge, disposal: general waste}
conditions: {towel: [away, in_place]}
sentences:
  isolate: {valve: Close the <part>., plug: Pull the <part>.}
  lock: Put your lock on the <part>.
  verify_zero: The <by> reads <safe>.
"""

BASE = """\
base: f-base
family: F
energies:
  water:
    form: liquid_pressure
    normal: 4 bar
    safe: 0 bar
    warning:
      {word: warning, hazard: Water under pressure., harm: It can injure you., avoid: Open it only at 0 bar.}
parts:
  supply: {role: source, name: water main}
  inlet:
    {role: isolator, device: valve, name: inlet valve, tag: V1, place: left, lock: hasp, throttles: true}
  first:  {role: component, name: filter housing, seal: O-ring, near: [], cartridge: 5 micron cartridge}
  button: {role: vent, name: relief button, tag: V4, place: on top, to: bucket}
  gauge:
    {role: gauge, name: inlet gauge, tag: P1, at: first, energy: water, span: 10 bar, accuracy: 1.6 %,
      division: 0.1 bar, usual: 2 to 6 bar}
  tap:    {role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}
lines:
  main: {energy: water, path: [supply, inlet, first, tap]}
  out:  {energy: water, path: [first, button]}
"""

UNITS = {
    f"units/f-{n}.yaml": f"unit: F-{n}\ntitle: Filter {n}\nbased_on: f-base\n"
    f"checked: {{by: A. Nyone, date: 2026-05-0{n}, drawing: D-{n}, serials: {n}00 and up}}\n"
    for n in (1, 2)
}

BLOCK = """\
block: make-safe
title: Make safe
takes: [opens]
steps:
  - do: Tell the line supervisor that the unit stops.
    tell: line supervisor
  - each: {device: {isolators_of: opens}}
    steps:
      - isolate: device
        lock: device
  - each: {way_out: {vents_of: opens}}
    steps:
      - vent: way_out
  - each: {part: opens}
    steps:
      - verify_zero: part
        otherwise: {end_here: Leave the locks on. Call us.}
"""

PROCEDURE = """\
procedure: change-filter
title: Change the filter
units: [F]
time: 10 min
opens: [first]
steps:
  - use: make-safe
  - do: Unscrew the <first> with the <wrench>.
    open: first
  - do: Put in a new <first.cartridge>.
    id: renew
    fit: cartridge
    using: new_cartridge
  - check: The O-ring has no cut.
    id: ring
    inspect_seal: first
    otherwise: {continue: true, steps: [{do: Fit a new <o_ring>., new_seal: first}]}
  - do: Screw the <first> on.
    id: screw-on
    close: first
  - do: Shut the <button>.
    id: shut-off
    shut: button
  - do: Take your lock off the <inlet>.
    id: lock-off
    unlock: inlet
  - do: Open the <inlet> a quarter turn.
    id: fill
    throttle: inlet
  - do: Open the <inlet> fully.
    id: supply
    restore: inlet
  - check: The <first> is dry.
    id: leaks
    leak_check: first
    for: 2 min
    otherwise: {steps: [{use: make-safe}], end_here: Leave the locks on. Call us.}
  - do: Tell the line supervisor that the unit runs again.
    tell: line supervisor
people: [technician]
due: [{every: 6 months}]
revisions: [{number: 1, date: 2026-05-11, by: A. Nyone, why: First issue}]
"""

FILES = {
    "library.yaml": LIBRARY,
    "units/f-base.yaml": BASE,
    **UNITS,
    "blocks/make-safe.yaml": BLOCK,
    "change-filter.yaml": PROCEDURE,
}


SITE = sorted(
    [
        *("index.html", "rules.html", "unit.F-1.html", "unit.F-2.html"),
        *(f"rules.{name}.html" for name in {rule.partition("/")[0] for rule in RULES}),
    ]
)
"""The pages around the manuals."""


@dataclass(frozen=True)
class Said:
    """What a call gave back."""

    code: int
    out: str
    err: str

    @property
    def lines(self) -> list[str]:
        """All that was said, as a terminal of 80 columns shows it."""
        shown: list[str] = []
        for line in (self.out + self.err).splitlines():
            shown += [line[i : i + 80] for i in range(0, max(len(line), 1), 80)]
        return shown


def faults(text: str) -> list[tuple[str, str, str]]:
    """The findings that a report for people shows, as (place, level, rule)."""
    pattern = r"^  (error|warning|advice)  .*?^  rule +(\S+) ·\s+(.+?)$"
    found = re.findall(pattern, text, re.MULTILINE | re.DOTALL)
    return [(place, level, rule) for level, rule, place in found]


def written(folder: Path, *changes: tuple[str, str, str], **more: str) -> Path:
    """The library in a folder, with changes as (file, what stands there once, what is put there)."""
    files = dict(FILES)
    for file, old, new in changes:
        assert files[file].count(old) == 1, (file, old)
        files[file] = files[file].replace(old, new)
    for name, text in {
        **files,
        **{key.replace("__", "/") + ".yaml": text for key, text in more.items()},
    }.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def call(*args: str | Path) -> Said:
    """The command line, called in this process; an exception that gets out fails the test."""
    result = CliRunner().invoke(main, [str(arg) for arg in args], catch_exceptions=False)
    return Said(result.exit_code, result.stdout, result.stderr)


def run(*args: str | Path, cwd: Path | None = None, **environment: str) -> Said:
    """The command line, called as a person calls it."""
    path = os.pathsep.join([str(DEMO.parent), os.environ.get("PYTHONPATH", "")])
    done = subprocess.run(
        [sys.executable, "-m", "proctool", *map(str, args)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": path, **environment},
        capture_output=True,
        timeout=120,
        check=False,
    )
    return Said(done.returncode, done.stdout.decode(), done.stderr.decode())
