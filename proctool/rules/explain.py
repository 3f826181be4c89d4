"""What `explain` prints: the list of rules, or one rule's page; and the page in Markdown."""

from __future__ import annotations

import re
import textwrap

from proctool.model.finding import Level
from proctool.rules import open_question
from proctool.rules.packs import PACKS, RULES
from proctool.rules.page import parse
from proctool.rules.rule import Rule

PAGES: dict[str, Rule] = {**RULES, open_question.RULE.id: open_question.RULE}
"""All that findings go by: the rules of a check, and the questions that `adapt` leaves open."""
_WIDTH = 80


def listed() -> str:
    """Every rule with its level and what it asks, pack by pack."""
    lines: list[str] = []
    for pack in (*PACKS, (open_question.RULE,)):
        for rule in pack:
            lines.append(f"{rule.id}  ({level_words(rule)})")
            lines += _wrapped(parse(rule).asks)
        lines.append("")
    return (
        "\n".join([*lines, "`proctool explain RULE` shows why, the source, a bad and a good example."]) + "\n"
    )


def explained(name: str) -> str:
    """The page of one rule.

    Raises:
        KeyError: there is none in `PAGES`.
    """
    rule = PAGES[name]
    page = parse(rule)
    parts = [f"{rule.id}  ({level_words(rule)})", *_wrapped(page.asks), "", "Why"]
    parts += [*_wrapped(page.why), "", "Source", *_wrapped(page.source), "", "Bad"]
    parts += [*_indented(page.bad), "", "Good", *_indented(page.good)]
    return "\n".join(parts) + "\n"


def markdown(rule: Rule) -> str:
    """The page of a rule in Markdown, without a heading."""
    page = parse(rule)
    lines = [f"*{level_words(rule)}.* {_plain(page.asks)}", "", _plain(page.why), ""]
    lines += [f"Source: {_plain(page.source)}", ""]
    for word, example in (("Bad", page.bad), ("Good", page.good)):
        lines += [f"{word}:", "", "```yaml", example.rstrip("\n"), "```", ""]
    return "\n".join(lines)


def _plain(text: str) -> str:
    """A text whose angle brackets are no tags."""
    return re.sub(r"(?<!`)<(?![^`]*`)", r"\\<", text)


def level_words(rule: Rule) -> str:
    """A rule's own level, and whether anything may change it."""
    if rule.never:
        return "error, no deviation and no other level"
    return {Level.ERROR: "error", Level.WARNING: "warning", Level.ADVICE: "advice"}[rule.level]


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent="    ", subsequent_indent="    ")


def _indented(text: str) -> list[str]:
    return textwrap.indent(text.rstrip("\n"), "    ").split("\n")
