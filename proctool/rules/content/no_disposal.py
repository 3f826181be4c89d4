"""Of what is replaced or dosed the library says how it is got rid of.

Why: A used lamp, a cartridge full of what it caught, a rest of disinfectant: at the end of the job it lies on
the floor, and the technician needs to know into which bin it goes.

Source: IEC/IEEE 82079-1: disposal is part of the instructions, from memory.

Bad::

    library:
      supplies: {o_ring: housing O-ring}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Fit a new <o_ring> to the <housing>.
        new_seal: housing

Good::

    library:
      supplies: {o_ring: {name: housing O-ring, disposal: general waste}}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Fit a new <o_ring> to the <housing>.
        new_seal: housing
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.rule import LibrarySubject, Rule, Seen


def _check(subject: LibrarySubject) -> Iterator[Seen]:
    waste = {name for case in subject.cases for name in case.replaced}
    for thing in subject.library.things:
        if thing.key.text in waste & subject.library.supplies.keys() and not thing.disposal:
            yield Seen(
                thing.key.span,
                f"Nothing says how a used {thing.name} or a rest of it is got rid of.",
                "Write `disposal: …` for it, such as `general waste, drained`.",
            )


RULE = Rule("content/no-disposal", page=__doc__, level=Level.WARNING, library=_check)
