"""A tool that a text names is one of the library's tools, so that the manual lists it.

Why: The list of tools is read before the walk to the unit. A spanner that only step 14 names is a second
walk, with the unit open.

Source: DITA `supequip` and S1000D `reqSupportEquips` (element names read): equipment is listed before the
steps. That every tool of a step is in the list is common practice, no source. Words of tools are known for
English texts only.

Bad::

    steps:
      - stop: pump
      - do: Loosen the clamp behind the frame with a 13 mm spanner.

Good::

    library:
      tools: {spanner: 13 mm spanner}
    steps:
      - stop: pump
      - do: Loosen the clamp behind the frame with the <spanner>.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import every_step
from proctool.rules.content.listed import unlisted
from proctool.rules.content.nouns import TOOL
from proctool.rules.content.walk import english
from proctool.rules.rule import Rule, Seen, UseSubject


def _check(subject: UseSubject) -> Iterator[Seen]:
    if english(subject.plan):
        steps = every_step(subject.plan.frame)
        yield from unlisted(subject.plan, steps, TOOL, subject.library.tools, "tools")


RULE = Rule("content/tool-unlisted", page=__doc__, level=Level.WARNING, use=_check)
