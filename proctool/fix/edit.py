"""Edits: a value written anew in its place, and the proof that the file says nothing else otherwise."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.fix.sheet import Sheet, with_text
from proctool.model.document import Mapping, Node, Scalar
from proctool.model.span import Span

Value = str | tuple[str, ...]
"""What is written anew: a text, or a list of words."""
_Outline = str | tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Edit:
    """One value written anew. `start` and `end` are offsets in the text of its file."""

    start: int
    end: int
    value: Value
    """What stands there then."""
    text: str
    """How it is written."""
    told: str
    """What was done, for people."""

    @property
    def inline(self) -> str:
        """The value on one line, as YAML reads it in any place.

        The blank is for what stands where a list with dashes stood: right below its key only such a list may.
        """
        return " " + json.dumps(self.value, ensure_ascii=False)


def replacing(sheet: Sheet, span: Span, value: Value, text: str, told: str) -> Edit:
    """The edit that writes what stands in a span anew."""
    return Edit(*sheet.ends(span), value, text, told)


def apply(text: str, edits: Iterable[Edit], written: Callable[[Edit], str] = lambda edit: edit.text) -> str:
    """A text with edits made; they must not overlap."""
    pieces: list[str] = []
    done = 0
    for edit in sorted(edits, key=lambda edit: edit.start):
        pieces += (text[done : edit.start], written(edit))
        done = edit.end
    return "".join([*pieces, text[done:]])


def apart(edits: Iterable[Edit]) -> list[Edit]:
    """Those of the edits that overlap none before them, each once."""
    kept: list[Edit] = []
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end)):
        if not kept or edit.start >= kept[-1].end:
            kept.append(edit)
    return kept


def sound(sheet: Sheet, edits: Iterable[Edit]) -> bool:
    """Whether edits change the values they mean to, and nothing else that the file says.

    The values are put in once in the way that cannot be misread, as `inline`, and once as they shall stand:
    both must read the same. Where the file could be read before, they must also read as it did but for the
    values themselves.
    """
    made = list(edits)
    plainly = with_text(sheet, apply(sheet.text, made, lambda edit: edit.inline))
    finally_ = with_text(sheet, apply(sheet.text, made))
    if not (plainly.whole and finally_.whole and plainly.root and finally_.root):
        return False
    meant = _outline(plainly.root)
    if _outline(finally_.root) != meant:
        return False
    if not sheet.whole or sheet.root is None:
        return True
    return _outline(sheet.root, {_place(sheet, edit): edit.value for edit in made}) == meant


def _place(sheet: Sheet, edit: Edit) -> tuple[int, int]:
    line = sheet.line_of(edit.start)
    return line, edit.start - sheet.starts[line - 1] + 1


def _outline(node: Node, instead: ReadOnly[tuple[int, int], Value] | None = None) -> _Outline:
    """What a tree says, with the order of its keys, without places; values by place may stand for its own."""
    value = (instead or {}).get((node.span.line, node.span.column))
    if value is not None and not isinstance(node, Mapping):
        return value if isinstance(value, str) else ("list", *value)
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Mapping):
        return ("map", *((key.text, _outline(below, instead)) for key, below in node))
    return ("list", *(_outline(item, instead) for item in node.items))
