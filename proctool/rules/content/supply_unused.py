"""A supply of the library is used by some step.

Why: A grease that no step names is on no list of supplies, and the O-ring it is for goes in dry. Where it is
needed no more, it is a part number that is ordered for nothing.

Source: DITA `supplies` and `spares`, S1000D `reqSupplies` and `reqSpares` (element names read); that the list
holds no more than the steps use is common practice, no source.

Bad::

    library:
      supplies: {grease: {name: silicone grease, disposal: special waste}}

Good::

    library:
      supplies: {grease: {name: silicone grease, disposal: special waste}}
    steps:
      - use: make-safe
      - do: Unscrew the <housing> with the <wrench>.
        open: housing
      - do: Put a <new_cartridge> into the <housing>.
        fit: cartridge
      - do: Fit a new <o_ring> to the <housing>.
        new_seal: housing
      - do: Wipe the thread of the <housing> with <grease>.
        lubricate: {part: housing, what: thread}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.content.unused import unused
from proctool.rules.rule import LibrarySubject, Rule, Seen


def _check(subject: LibrarySubject) -> Iterator[Seen]:
    return unused(subject, subject.library.supplies, "supply")


RULE = Rule("content/supply-unused", page=__doc__, level=Level.WARNING, library=_check)
