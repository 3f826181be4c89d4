"""The unit file says who walked the unit with it, when, against which drawing, and for which serials.

Why: The proof is as good as the file. Only somebody who stood before the unit with it can know that every
valve and every line is in it.

Source: Common practice, no source; that the energy is known before work starts is asked by 29 CFR
1910.147(d)(1).

Bad::

    unit:
      checked: {by: A. Example, date: 2026-01-10, drawing: ~, serials: ~}

Good::

    unit:
      checked: {by: A. Example, date: 2026-01-10, drawing: EX-1-A, serials: 1 to 99}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.unit import Checked
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit = subject.unit
    checked = unit.checked or Checked()
    said = {
        "by whom": checked.by,
        "when": checked.date,
        "against which drawing": checked.drawing,
        "for which serial numbers": checked.serials,
    }
    lacking = [asked for asked, text in said.items() if not text]
    if lacking:
        yield Seen(
            unit.span,
            f"Nothing says {', '.join(lacking)} unit {unit.id} was walked with this file.",
            "Walk the unit with the file, then write `checked: {by: …, date: …, drawing: …, serials: …}`.",
        )


RULE = Rule("unit/unchecked", page=__doc__, level=Level.WARNING, unit=_check)
