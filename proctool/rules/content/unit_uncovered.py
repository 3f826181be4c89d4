"""For each unit of the library there is a procedure.

Why: A model that no procedure fits is serviced with the sheet of the one that looks like it.

Source: 29 CFR 1910.147(c)(4)(i): procedures are developed, documented and used for the control of hazardous
energy. That each model has one is common practice, no source.

Bad::

    other_unit:
      unit: EX-2
      title: Filter without pump
      family: EY
      energies: {water: {form: liquid_pressure, normal: 4.0 bar, safe: 0 bar}}
      parts:
        supply: {role: source, name: water main}
        valve: {role: isolator, device: valve, name: inlet valve, tag: V1, place: at the wall}
        tap: {role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}
      lines: {main: {energy: water, path: [supply, valve, tap]}}

Good::

    other_unit:
      unit: EX-2
      title: Filter without pump
      family: EY
      energies: {water: {form: liquid_pressure, normal: 4.0 bar, safe: 0 bar}}
      parts:
        supply: {role: source, name: water main}
        valve: {role: isolator, device: valve, name: inlet valve, tag: V1, place: at the wall}
        tap: {role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}
      lines: {main: {energy: water, path: [supply, valve, tap]}}
    units: [EX, EY]
    opens: ~
    steps:
      - check: The floor under the unit is dry.
        otherwise: {end_here: Do not touch the unit. Call for help.}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.rule import LibrarySubject, Rule, Seen


def _check(subject: LibrarySubject) -> Iterator[Seen]:
    if not subject.whole:
        return
    covered = {case.unit for case in subject.cases}
    for unit in subject.units:
        if unit.id not in covered:
            yield Seen(
                unit.span,
                f"No procedure of this library is for unit {unit.id}.",
                "Add it, or its family, to the `units` of the procedures that fit it; or take the unit out.",
            )


RULE = Rule("content/unit-uncovered", page=__doc__, level=Level.WARNING, library=_check)
