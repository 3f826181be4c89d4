"""Units of the model as files of a small library, so that the whole tool can be run on random networks."""

from __future__ import annotations

import random
from dataclasses import replace

from proctool.api import Library
from proctool.model.unit import Line, Part, Unit
from proctool.model.words import Form, Role
from tests.network.build import SPAN, part

LIBRARY = """\
library: Random plants
people: {fitter: fitter}
ppe: {glasses: safety glasses}
levels: {unit/end-unsaid: advice}
"""


def helped(unit: Unit, seed: int) -> Unit:
    """The unit with vents at most of its holders and gauges of most of its energies: random ones have few."""
    rng = random.Random(seed)  # noqa: S311 - units for tests, no secrets
    parts = {name: p for name, p in unit.parts.items() if p.role is not Role.GAUGE}
    lines = dict(unit.lines)
    if any(energy.form is Form.HEAT for energy in unit.energies.values()):
        parts = {name: replace(p, normally_open=False) for name, p in parts.items()}
    parts = {name: replace(p, near=tuple(n for n in p.near if n in parts)) for name, p in parts.items()}
    for energy in unit.energies.values():
        on_line = {name for line in unit.lines.values() if energy.id in line.energies for name in line.path}
        for name in sorted(n for n in on_line if unit.parts[n].holder and energy.fluid):
            if rng.random() < 0.6:
                vent = f"x_{name}_{energy.id}"
                parts[vent] = part(vent, "vent")
                lines[vent] = Line(vent, (energy.id,), (name, vent), SPAN)
        if rng.random() < 0.8:
            gauge = f"g_{energy.id}"
            parts[gauge] = part(gauge, {"role": "gauge", "at": "any", "energy": energy.id})
    return replace(unit, parts=parts, lines=lines)


def library_of(unit: Unit) -> Library:
    """A library with one unit and no procedures."""
    return Library.from_texts({"library.yaml": LIBRARY, "unit.yaml": unit_text(unit)})


def unit_text(unit: Unit) -> str:
    """The file of a unit."""
    lines = [f"unit: {unit.id}", f"title: {unit.title}", "energies:"]
    for energy in unit.energies.values():
        normal = {"electricity": "230 V", "heat": "80 °C"}.get(energy.form.value, "4 bar")
        safe = {"electricity": "0 V", "heat": "40 °C or less"}.get(energy.form.value, "0 bar")
        warning = "{word: danger, hazard: It is live., harm: It can kill you., avoid: Keep away from it.}"
        lines.append(
            f"  {energy.id}: {{form: {energy.form.value}, safe: '{safe}', normal: '{normal}',"
            f" isolation: {energy.depth.value},"
            f" warning: {warning}}}"
        )
    lines.append("parts:")
    lines += (f"  {part.id}: {{{', '.join(_fields(part))}}}" for part in unit.parts.values())
    lines.append("lines:")
    lines += (
        f"  {line.id}: {{energy: [{', '.join(line.energies)}], path: [{', '.join(line.path)}]}}"
        for line in unit.lines.values()
    )
    return "\n".join(lines) + "\n"


def _fields(part: Part) -> list[str]:
    said = [f"role: {part.role.value}", f"name: part {part.id}"]
    if part.device is not None:
        said += [
            f"device: {part.device.value}",
            f"lock: {part.lock.value}",
            f"tag: T-{part.id}",
            "place: here",
        ]
        said += ["operated_by: site"] if part.site else []
        said += ["normal: closed"] if part.normal.value == "off" else []
    said += ["normal: open"] if part.normally_open else []
    said += [f"runs: {part.runs}"] if part.runs else []
    said += [f"keeps: [{', '.join(sorted(part.keeps))}]"] if part.keeps else []
    said += [f"at: {part.at}", f"energy: {part.energy}"] if part.at else []
    if part.role.value == "outlet" and not part.feeds_back:
        said += ["feeds_back: false", "why: it ends free"]
    if part.role.value != "source":
        said += [f"near: [{', '.join(part.near)}]"]
    return said
