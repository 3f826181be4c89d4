"""Each isolator has a tag, a place and a lock; each energy has its size, its safe reading and its warning.

Why: The isolation table of a manual is made of these. With a gap in it the technician looks for a valve
without knowing which, and reads a gauge without knowing what counts as zero. An energy that the technician
brings in has no size in normal service and no isolator; its warning is enough.

Source: 29 CFR 1910.147(c)(4)(ii) and (d)(1); Regulation (EU) 2023/1230 Annex III 1.6.3: isolators are clearly
identified.

Bad::

    unit:
      parts: {bypass: {role: isolator, device: valve, name: bypass valve}}
      lines: {bypass: {energy: water, path: [supply, bypass, housing]}}

Good::

    unit:
      parts:
        bypass: {role: isolator, device: valve, name: bypass valve, tag: V3, place: at the wall, lock: hasp}
      lines: {bypass: {energy: water, path: [supply, bypass, housing]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.words import Role
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    for part in subject.unit.parts.values():
        lacking = [f"`{key}`" for key in ("tag", "place", "lock") if part.text(key) is None]
        if part.role is Role.ISOLATOR and lacking:
            yield Seen(
                part.span,
                f"The {part.label} isolates, but has no {_listed(lacking)}.",
                "Say what its tag reads, where it is, how it is locked (`hasp`, `cover`, `cable`, `none`).",
                part=part.id,
            )
    for energy in subject.unit.energies.values():
        said = {"warning": energy.warning is not None}
        if not energy.brought:
            said |= {"normal": bool(energy.normal), "safe": bool(energy.safe)}
        lacking = [f"`{key}`" for key in ("normal", "safe", "warning") if not said.get(key, True)]
        if lacking:
            yield Seen(
                energy.span,
                f"Energy {energy.name} has no {_listed(lacking)}.",
                "Say its size in normal service, what a gauge shows at zero, and the harm it can do.",
                energies=(energy.id,),
            )


def _listed(words: list[str]) -> str:
    return " and no ".join(words)


RULE = Rule("unit/isolator-unnamed", page=__doc__, unit=_check)
