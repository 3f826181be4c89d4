"""The page of a rule: what it asks, why, where that comes from, a bad and a good example.

The docstring of a rule's module is its page::

    Nothing is opened while a source still feeds it.          (asks: the first paragraph)

    Why: …

    Source: 29 CFR 1910.147(d)(3) …                           (or: common practice, no source)

    Bad::

        steps:
          - open: housing

    Good::

        steps: …
"""

from __future__ import annotations

import inspect
import re
import textwrap
from dataclasses import dataclass

from proctool.rules.rule import Rule


@dataclass(frozen=True, slots=True)
class Page:
    """A rule's page. `bad` and `good` are YAML."""

    asks: str
    why: str
    source: str
    bad: str
    good: str


class PageError(ValueError):
    """A rule's docstring lacks a part: a fault of proctool."""


def parse(rule: Rule) -> Page:
    """The page of a rule.

    Raises:
        PageError: a part is missing or empty.
    """
    text = inspect.cleandoc(rule.page or "")
    found = re.fullmatch(
        r"(?P<asks>.+?)\n\nWhy: (?P<why>.+?)\n\nSource: (?P<source>.+?)"
        r"\n\nBad::\n\n(?P<bad>.+?)\n\nGood::\n\n(?P<good>.+)",
        text,
        re.DOTALL,
    )
    if found is None:
        raise PageError(f"The page of {rule.id} lacks a part: asks, Why:, Source:, Bad::, Good::.")
    asks, why, source = (" ".join(found[name].split()) for name in ("asks", "why", "source"))
    bad, good = (textwrap.dedent(found[name]).strip("\n") + "\n" for name in ("bad", "good"))
    return Page(asks, why, source, bad, good)
