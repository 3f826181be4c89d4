"""The demonstration procedures as flat problems.

The package resolves a procedure for a unit; from the plan only the ids, acts, needs, makes and the order of
the main steps are taken.  All checks pass: what an ``otherwise`` does is left out on both sides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from proctool.api import RULES, open_library
from proctool.model.plan import Act, Plan
from proctool.model.unit import Part, Unit
from proctool.prove import prove

from .encode import EFFECTS, POSITIONS, Problem, Step
from .solve import Finding

LIBRARIES = [Path(__file__).parents[2] / name for name in ("procedures", "household")]


def plans(*units: str) -> Iterator[Plan]:
    """Each demonstration procedure on each of its units, or on these, its checks passing."""
    for folder in LIBRARIES:
        library = open_library(folder)
        for procedure, unit in library.pairs():
            if not units or unit in units:
                case = next(library.cases(procedure=procedure.name, unit=unit))
                assert case.plan is not None, case.procedure
                yield _all_passing(case.plan)


def damaged(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """The plan without each of its steps, and with each of them free of all order."""
    for number, step in enumerate(plan.frame.steps):
        yield f"without {step.id}", _without(plan, number)
        yield f"{step.id} at any time", _freed(plan, number)


def by_package(plan: Plan) -> tuple[set[Finding], bool]:
    """What the package finds, and whether it came to an end."""
    proof = prove(plan)
    return {(b.rule, b.step, b.part) for b in proof.breaches if RULES[b.rule].of_proof}, proof.explored


def problem_of(plan: Plan) -> Problem:
    """The flat problem of a plan."""
    steps = plan.frame.steps
    flat = []
    for step, mask in zip(steps, plan.frame.before, strict=True):
        needs = tuple((need.name, need.word) for need in step.needs)
        before = frozenset(other.id for bit, other in enumerate(steps) if mask >> bit & 1)
        flat.append(Step(step.id, tuple(map(_act, step.acts)), needs, step.makes, before))
    return Problem(
        _unit(plan.unit),
        tuple(flat),
        {name: list(v) for name, v in plan.conditions.items()},
        {part: list(words) for part, words in plan.starts.items()},
        {part: list(words) for part, words in plan.leaves.items()},
    )


def _all_passing(plan: Plan) -> Plan:
    steps = tuple(replace(step, otherwise=None) for step in plan.frame.steps)
    return replace(plan, frame=replace(plan.frame, steps=steps))


def _without(plan: Plan, gone: int) -> Plan:
    def kept(mask: int) -> int:
        return mask & ((1 << gone) - 1) | mask >> (gone + 1) << gone

    steps = [step for number, step in enumerate(plan.frame.steps) if number != gone]
    before = [kept(mask) for number, mask in enumerate(plan.frame.before) if number != gone]
    return replace(plan, frame=replace(plan.frame, steps=tuple(steps), before=tuple(before), free=()))


def _freed(plan: Plan, loose: int) -> Plan:
    before = [0 if number == loose else mask & ~(1 << loose) for number, mask in enumerate(plan.frame.before)]
    return replace(plan, frame=replace(plan.frame, before=tuple(before), free=()))


def _act(act: Act) -> tuple[str, Any]:
    if act.verb not in EFFECTS:
        return "other", ""
    if act.verb == "verify_zero":
        return act.verb, {"part": act.part, "by": act.by}
    if act.verb == "dose":
        return act.verb, {"part": act.part, "energy": act.energy}
    return act.verb, act.part


def _unit(unit: Unit) -> dict[str, Any]:
    """The unit as a file would hold it, as far as the proof reads it."""
    return {
        "lockout": str(unit.control),
        "energies": {
            e.id: {"form": str(e.form), "isolation": str(e.depth), "brought": _yes(e.brought)}
            for e in unit.energies.values()
        },
        "parts": {part.id: _part(part) for part in unit.parts.values()},
        "lines": {
            line.id: {"energy": list(line.energies), "path": list(line.path)} for line in unit.lines.values()
        },
    }


def _part(part: Part) -> dict[str, Any]:
    role = str(part.role)
    said: dict[str, Any] = {
        "role": role,
        "feeds_back": _yes(part.feeds_back),
        "throttles": _yes(part.throttles),
        "exclusive_control": _yes(part.exclusive_control),
        "traps_air": _yes(part.traps_air),
        "cover": _yes(part.covered),
        "near": list(part.near),
        "keeps": sorted(part.keeps),
        "rebuilds": sorted(part.rebuilds),
    }
    said |= {
        key: value
        for key in ("runs", "at", "energy", "seal", "tighten")
        if (value := getattr(part, key)) is not None
    }
    if role == "isolator":
        said["device"] = str(part.device)
        words = {position: word for word, position in POSITIONS[said["device"]].items()}
        said["normal"] = words[str(part.normal)]
    elif role == "vent":
        said["normal"] = "open" if part.normally_open else "shut"
    elif part.runs is not None:
        said["normal"] = "running" if part.normally_running else "stopped"
    return said


def _yes(holds: bool) -> str:
    return "true" if holds else "false"
