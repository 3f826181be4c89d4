"""Bytes to text: what cannot be read as text is said with the place of its first bad byte."""

from __future__ import annotations

import re
from collections.abc import Sequence

from proctool.model.finding import Finding, file_fault
from proctool.model.span import Span

_BREAKS = re.compile(r"\r\n|\r|\n")
_REFUSED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)
"""What no editor shows: control characters, line breaks of other standards, and signs that turn the direction
of writing, by which a text can look unlike what it says."""
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def shortened(text: str, limit: int = 40) -> str:
    """A piece of the file as a message shows it."""
    return text if len(text) <= limit else text[: limit - 1] + "…"


def ending(text: str, limit: int = 40) -> str:
    """The end of a piece of the file as a message shows it."""
    return text if len(text) <= limit else "…" + text[1 - limit :]


def split_lines(text: str) -> list[str]:
    """The lines of a text, as an editor counts them: ended by line feed, carriage return, or both."""
    return _BREAKS.split(text)


def rest_of_line(lines: Sequence[str], line: int, column: int) -> str:
    """What follows a place that counts from 1; nothing behind the last line."""
    return lines[line - 1][column - 1 :] if line <= len(lines) else ""


def hidden_sign(text: str) -> str | None:
    """The first sign of a text that no editor shows, as `U+0000`; None where there is none."""
    found = _REFUSED.search(text)
    return f"U+{ord(found[0]):04X}" if found else None


def read_text(file: str, data: bytes) -> tuple[str | None, tuple[Finding, ...]]:
    """The text of a file in UTF-8, its byte order mark taken away; or None and what is wrong with it."""
    if data.startswith(_UTF16):
        return None, (_fault(file, b"", "The file is in UTF-16; save it as UTF-8."),)
    data = data.removeprefix(b"\xef\xbb\xbf")
    nul = data.find(b"\0")
    if nul >= 0:
        return None, (_fault(file, data[:nul], "This is not a text file (it holds a zero byte here)."),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = data[error.start]
        message = f"The byte 0x{byte:02X} here is not UTF-8{_as_latin(byte)}; save the file as UTF-8."
        return None, (_fault(file, data[: error.start], message),)
    refused = _REFUSED.search(text)
    if refused:
        message = f"There is a sign here that no editor shows (U+{ord(refused[0]):04X}); delete it."
        return None, (_fault(file, text[: refused.start()].encode(), message),)
    return text, ()


def _as_latin(byte: int) -> str:
    """What the byte would be in the older encoding that most such files are in."""
    sign = bytes([byte]).decode("cp1252", errors="ignore")
    return f" (`{sign}` in an older encoding)" if sign and sign.isprintable() and sign.strip() else ""


def _fault(file: str, before: bytes, message: str) -> Finding:
    lines = split_lines(before.decode("utf-8", errors="replace"))
    line, column = len(lines), len(lines[-1]) + 1
    return file_fault("file/yaml", message, Span(file, line, column, line, column + 1))
