"""Texts that YAML cut short without a word: by a comma, by ` #`, by a brace or a colon.

A sentence that lost its end still reads like a sentence; in a procedure that is the worst kind of fault.
What can be told from the source is told here, with the mend.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from proctool.model.document import Node, Scalar
from proctool.model.finding import Finding, file_fault
from proctool.source.text import ending, rest_of_line, shortened

TEXT_KEYS = frozenset(
    {"do", "check", "title", "note", "why", "say", "end_here", "hazard", "harm", "avoid", "instead"}
)
"""Keys whose value is a sentence or heading: what follows ` #` there was hardly meant as a comment."""
_COMMENT = re.compile(r"([ \t]+)#(.?)")
_ENDED = re.compile(r"""[.!?…:;][)\]"'*\u2019\u201d\u00bb]*$""")
_TIGHT = re.compile(r"[0-9A-Za-z]")


def mend(lead: str = "; ") -> str:
    """What to do about a text that YAML cuts."""
    return f"{lead}write the text on the next line after `>-`"


def comment_after(scalar: Scalar, lines: Sequence[str]) -> re.Match[str] | None:
    """The comment that stands directly after a plain text, as (blanks, first sign); None without one."""
    return _COMMENT.match(rest_of_line(lines, scalar.span.end_line, scalar.span.end_column))


def cut_by_comment(key: Scalar, scalar: Scalar, lines: Sequence[str]) -> Finding | None:
    """A text that ` #` cut.

    After a key of `TEXT_KEYS`: any comment behind a text without a full stop. After other keys: only a `#`
    that has one blank before it and none behind it, as in `bolt #3`.
    """
    comment = comment_after(scalar, lines)
    if comment is None or _ENDED.search(scalar.text):
        return None
    tight = comment[1] == " " and bool(_TIGHT.match(comment[2]))
    if not (key.text in TEXT_KEYS or (tight and scalar.text)):
        return None
    where = f"after `{ending(scalar.text)}`" if scalar.text else "at its start"
    message = f"The text of `{key.text}` is cut {where}: ` #` starts a comment{mend()}."
    help_ = "If it is a comment, put it on a line of its own."
    return file_fault("wording/cut-text", message, scalar.span, help=help_)


def bare_key(
    key: Scalar, value: Scalar, before: Sequence[tuple[Scalar, Node]], lines: Sequence[str]
) -> Finding | None:
    """A piece of a text that a comma in `{...}` turned into a key: `{do: Close it, and lock it}`."""
    if value.text or not before:
        return None
    if rest_of_line(lines, key.span.end_line, key.span.end_column).lstrip().startswith(":"):
        return None
    owner, text = before[-1]
    if not isinstance(text, Scalar):
        return None
    if not (" " in key.text or owner.text in TEXT_KEYS or " " in text.text):
        return None
    message = f"A comma cuts the text of `{owner.text}` before `{shortened(key.text)}`{mend()}."
    return file_fault("wording/cut-text", message, key.span, help="Or put the text in quotes.")
