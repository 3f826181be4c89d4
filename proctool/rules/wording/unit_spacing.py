"""A blank stands between a number and its measure.

Why: `22Nm` is read as `22 m` by a tired eye, `10l` as `101`. One spelling in every file also lets a search
find every `22 N·m`. Asked of values that are quantities; in a sentence `24V` may be a name.

Source: NIST SP 811 (2008) 7.2 and 7.10.2: a space stands between number and unit symbol, before `°C` and `%`
too; only the degree of an angle stands close. From memory.

Bad::

    unit:
      parts:
        housing: {tighten: 20Nm}
    steps:
      - stop: pump

Good::

    unit:
      parts:
        housing: {tighten: 20 N·m}
    steps:
      - stop: pump
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.document import Document
from proctool.model.finding import Level
from proctool.model.spacing import quantities, spaced
from proctool.rules.rule import Rule, Seen


def check(document: Document) -> Iterator[Seen]:
    """Each quantity of a file whose number and measure stand close."""
    for written in quantities(document.root):
        right = spaced(written.text)
        if right is not None:
            message = f"`{written.text}` has no blank between number and measure; expected `{right}`."
            yield Seen(written.span, message, f"Write `{right}`; `proctool check --fix` does it.")


RULE = Rule("wording/unit-spacing", page=__doc__, level=Level.ADVICE, document=check)
