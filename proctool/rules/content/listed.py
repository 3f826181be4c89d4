"""Things that a text names in its own words, and that no list of the manual would show."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from proctool.model.plan import Plan, Step
from proctool.rules.content.nouns import noun_in
from proctool.rules.content.walk import plain_text
from proctool.rules.rule import Seen


def unlisted(
    plan: Plan, steps: Iterable[Step], nouns: re.Pattern[str], known: dict[str, str], kind: str
) -> Iterator[Seen]:
    """Each noun, at the first step that names it, which nothing that the plan uses is called by.

    `known` are the library's things of the kind by name; `kind` is the key they stand under.
    """
    used = plan.facts.used if plan.facts is not None else ()
    listed = " / ".join(known[name] for name in used if name in known).lower()
    told: set[str] = set()
    for step in steps:
        for found in nouns.finditer(plain_text(step)):
            noun = noun_in(found)
            if noun.lower() in listed or noun.lower() in told:
                continue
            told.add(noun.lower())
            fitting = [name for name, label in known.items() if noun.lower() in label.lower()]
            names = " or ".join(f"`<{name}>`" for name in fitting)
            yield Seen(
                step.span,
                f"This text says `{noun}` in its own words, so the manual's list of {kind} does not show it.",
                f"Write {names}."
                if names
                else f"Put it under `{kind}` in library.yaml, and name it with `<…>`.",
                step.id,
            )
