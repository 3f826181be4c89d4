"""The catalogue to be translated: every fixed word of the pages, from modules and templates."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable

from jinja2 import Environment
from jinja2.ext import extract_from_ast

from proctool.render.words import terms

Message = tuple[str, ...]
"""One text, or that for one thing and that for many."""

_SAID = {"say": 1, "fixed": 1, "_": 1, "counted": 2}
"""What says or marks a fixed word, and how many texts it takes."""
_HEAD = (
    'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
    '"Plural-Forms: nplurals=INTEGER; plural=EXPRESSION;\\n"\n'
)


def template() -> str:
    """The catalogue without a translation: each message once, with the files that say it.

    Raises:
        ValueError: a module puts a message together where it says it, so that it cannot be translated.
    """
    found: dict[Message, list[str]] = {}
    for name, message in _messages():
        places = found.setdefault(message, [])
        if name not in places:
            places.append(name)
    return "\n".join((_HEAD, *(_entry(message, places) for message, places in found.items())))


def _messages() -> Iterator[tuple[str, Message]]:
    """File and message, in the order in which the files tell them."""
    for name, file in _files(files("proctool.render"), ""):
        text = file.read_text(encoding="utf-8")
        told = _of_module(name, text) if name.endswith(".py") else _of_template(text)
        for message in told:
            yield name, message
    for word in terms():
        yield "words.py", (word,)


def _files(folder: Traversable, under: str) -> Iterator[tuple[str, Traversable]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            yield from _files(entry, f"{under}{entry.name}/")
        elif entry.name.endswith((".py", ".j2")):
            yield f"{under}{entry.name}", entry


def _of_module(name: str, text: str) -> Iterator[Message]:
    calls = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call)]
    for call in sorted(calls, key=lambda call: (call.lineno, call.col_offset)):
        if not isinstance(call.func, ast.Name) or call.func.id not in _SAID:
            continue
        asked = call.args[: _SAID[call.func.id]]
        if any(isinstance(text, ast.JoinedStr | ast.BinOp) for text in asked):
            raise ValueError(f"{name}:{call.lineno}: a message must stand whole, with `{{names}}` for values")
        texts = (one.value for one in asked if isinstance(one, ast.Constant))
        message = tuple(text for text in texts if isinstance(text, str) and text)
        if message:
            yield message


def _of_template(text: str) -> Iterator[Message]:
    for _, said, found in extract_from_ast(Environment(autoescape=True).parse(text), tuple(_SAID)):
        every = found if isinstance(found, tuple) else (found,)
        message = tuple(text for text in every[: _SAID[said]] if text)
        if message:
            yield message


def _entry(message: Message, places: list[str]) -> str:
    lines = [f"#: {' '.join(places)}"]
    if "{" in "".join(message):
        lines.append("#, python-brace-format")
    lines.append(f"msgid {_quoted(message[0])}")
    if len(message) == 1:
        lines.append('msgstr ""')
    else:
        lines += (f"msgid_plural {_quoted(message[1])}", 'msgstr[0] ""', 'msgstr[1] ""')
    return "\n".join((*lines, ""))


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
