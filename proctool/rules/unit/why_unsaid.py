"""An outlet that is said to feed nothing back says why.

Why: A line that ends free above a sink cannot feed back; a hose in a tank, or a line that others feed too,
can. That it cannot is the writer's word, and the proof leaves a source out for it: without a reason it takes
the outlet for a source.

Source: Common practice, no source.

Bad::

    unit:
      parts:
        tap: {role: outlet, name: tap line, feeds_back: false, why: ~}

Good::

    unit:
      parts:
        tap: {role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.words import Role
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    for part in subject.unit.parts.values():
        said = (part.text("feeds_back") or "").lower() == "false"
        if part.role is Role.OUTLET and said and not part.text("why"):
            yield Seen(
                part.span,
                f"`feeds_back: false` gives no reason, so the {part.label} counts as a source.",
                "Write `why`, such as `ends free above the sink`; where it can feed back, take the key away.",
                part=part.id,
            )


RULE = Rule("unit/why-unsaid", page=__doc__, level=Level.WARNING, unit=_check)
