"""A tool of the library is used by some step.

Why: A tool that no step names is on no list, so nobody brings it; often a text says it in its own words, or
lost it in a change. Where it is needed no more, it is a line that misleads.

Source: DITA `supequip` and S1000D `reqSupportEquips` (element names read); that the list holds no more than
the steps use is common practice, no source.

Bad::

    library:
      tools: {wrench: strap wrench, puller: bearing puller}

Good::

    library:
      tools: {wrench: strap wrench, puller: bearing puller}
    steps:
      - use: make-safe
      - do: Unscrew the <housing> with the <wrench>.
        open: housing
      - do: Pull the bearing of the <housing> with the <puller>.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.content.unused import unused
from proctool.rules.rule import LibrarySubject, Rule, Seen


def _check(subject: LibrarySubject) -> Iterator[Seen]:
    return unused(subject, subject.library.tools, "tool")


RULE = Rule("content/tool-unused", page=__doc__, level=Level.WARNING, library=_check)
