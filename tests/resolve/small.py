"""Small libraries in a few lines of text, and what resolving makes of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from textwrap import dedent, indent

from proctool.api import Library
from proctool.model.finding import Finding
from proctool.model.plan import Facts, Plan, Step, every_step
from proctool.model.span import Span
from proctool.resolve.plan import resolve

UNIT = """\
unit: U-1
title: Test stand
family: U
energies:
  water: {form: liquid_pressure, normal: 4 bar, safe: 0 bar}
  mains: {form: electricity, normal: 230 V, safe: 0 V}
parts:
  supply: {role: source}
  inlet:  {role: isolator, device: valve, tag: V1, throttles: true}
  first:
    {role: component, name: first housing, tag: H1, seal: O-ring, tighten: 22 N·m, near: [pump],
      cartridge: 5 micron cartridge}
  second:
    {role: component, name: second housing, tag: H2, seal: O-ring, tighten: 30 N·m, near: [pump],
      cartridge: carbon cartridge}
  button1: {role: vent, name: relief button}
  button2: {role: vent, tag: V5}
  gauge1: {role: gauge, name: inlet gauge, tag: P1, at: first, energy: water, usual: 2 to 6 bar}
  gauge2: {role: gauge, tag: P2, at: second, energy: water}
  insert: {role: restriction}
  tap:    {role: outlet, feeds_back: false, why: free end}
  socket: {role: source}
  plug:   {role: isolator, device: plug, tag: X1, lock: cover}
  pump:   {role: component, runs: mains}
lines:
  main:  {energy: water, path: [supply, inlet, first, insert, second, tap]}
  out1:  {energy: water, path: [first, button1]}
  out2:  {energy: water, path: [second, button2]}
  power: {energy: mains, path: [socket, plug, pump]}
facts:
  restart: 10 s
"""
"""Two housings one behind the other, a blocked insert between them, and a pump beside."""

LIBRARY = """\
library: Small
shows: {pressure: [bar, psi], torque: [N·m, lbf·ft]}
conditions: {towel: [away, in_place]}
tools: {wrench: strap wrench}
supplies: {o_ring: {name: housing O-ring, part_number: FM-204}}
ppe: {glasses: safety glasses}
"""

PROCEDURE = "procedure: p\ntitle: P\nunits: [U-1]\n"


@dataclass(frozen=True)
class Resolved:
    """A plan, or why there is none."""

    plan: Plan | None
    findings: tuple[Finding, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The main steps; the procedure must have resolved."""
        assert self.findings == (), [(f.rule, str(f.span), f.message) for f in self.findings]
        assert self.plan is not None
        return self.plan.frame.steps

    @property
    def ids(self) -> list[str]:
        """The ids of the main steps, in file order."""
        return [step.id for step in self.steps]

    @property
    def every_id(self) -> list[str]:
        """The ids of all steps, those of each `otherwise` after their check."""
        assert self.steps and self.plan is not None
        return [step.id for step in every_step(self.plan.frame)]

    @property
    def texts(self) -> list[str]:
        """The texts of the main steps."""
        return [step.text for step in self.steps]

    @property
    def acts(self) -> list[str]:
        """The acts of the main steps, as `verb part`."""
        return [f"{act.verb} {act.part}" for step in self.steps for act in step.acts]

    @property
    def pairs(self) -> set[str]:
        """The whole order, as `earlier < later`."""
        assert self.steps and self.plan is not None
        frame = self.plan.frame
        return {
            f"{frame.steps[j].id} < {step.id}"
            for i, step in enumerate(frame.steps)
            for j in range(len(frame.steps))
            if frame.before[i] >> j & 1
        }

    @property
    def said(self) -> list[tuple[str, str]]:
        """The findings, as (rule, message)."""
        return [(f.rule, f.message) for f in self.findings]

    @property
    def facts(self) -> Facts:
        """What a manual says besides the steps."""
        assert self.steps and self.plan is not None and self.plan.facts is not None
        return self.plan.facts

    @property
    def only(self) -> Finding:
        """The one finding."""
        assert len(self.findings) == 1, self.said
        assert self.plan is None
        return self.findings[0]


def at(fault: Finding) -> Span:
    """Where a finding stands."""
    assert fault.span is not None
    return fault.span


def texts(
    steps: str,
    *,
    head: str = "",
    unit: str = UNIT,
    library: str = LIBRARY,
    blocks: Mapping[str, str] | None = None,
    others: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """The files of a library with one procedure; `blocks` hold by name what follows their first line."""
    files = {
        "library.yaml": library,
        "unit.yaml": unit,
        "p.yaml": PROCEDURE + dedent(head) + "steps:\n" + indent(dedent(steps), "  "),
    }
    for name, text in (blocks or {}).items():
        files[f"{name}.yaml"] = f"block: {name}\n{dedent(text)}"
    return {**files, **(others or {})}


def run(steps: str, **more) -> Resolved:
    """The procedure `p` with these steps, resolved for the unit U-1; the files themselves must be whole."""
    library = Library.from_texts(texts(steps, **more))
    assert library.file_findings == (), [f"{f.span} {f.message}" for f in library.file_findings]
    assert library.units.findings == (), [f.message for f in library.units.findings]
    assert library.file is not None
    procedure = library.procedures["p"]
    plan, findings = resolve(
        library.file, library.blocks, procedure, library.units.whole["U-1"], library.units.known
    )
    return Resolved(plan, findings)


def unit_of(unit: str, **bases: str):
    """The unit U-1 and the findings about units, of a unit file and bases by file name."""
    library = Library.from_texts({"library.yaml": LIBRARY, "unit.yaml": unit, **bases})
    assert library.file_findings == (), [f.message for f in library.file_findings]
    return library.units.whole.get("U-1"), library.units.findings
