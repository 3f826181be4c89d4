"""Bytes to text: what cannot be read as text is said with the place of its first bad byte."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from proctool.model.finding import Finding, file_fault
from proctool.model.span import Span

_BREAKS = re.compile(r"\r\n|\r|\n")
_REFUSED = re.compile(
    "["
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # control characters
    "\u2028\u2029"  # line breaks of other standards
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # Bidi_Control in Unicode Standard Annex 9
    "\u180e\u200b\u2060-\u2064\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # no width, or tags
    "\ud800-\udfff\ufffe\uffff"  # no characters at all
    "]"
)
"""What no editor shows. Signs that turn the direction of writing can make a text look unlike what it says
(CVE-2021-42574); letters that are written from right to left are texts like any other."""
_JOINERS = re.compile("[\u00ad\u034f\u115f\u1160\u200c\u200d\u2800\u3164\ufe00-\ufe0f\uffa0]")
"""What nobody sees either, and some languages need in their words; a tag does not."""
_BLANKS = re.compile(r"[\t\n\r]")
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
    """The first sign of a text that no editor shows, named; None where there is none."""
    found = _REFUSED.search(text)
    return _named(found[0]) if found else None


def hidden_in_tag(text: str) -> str | None:
    """As `hidden_sign`, for what people compare sign by sign: nothing in it may be invisible."""
    found = _REFUSED.search(text) or _JOINERS.search(text)
    return _named(found[0]) if found else None


def hidden_in_path(path: str) -> str | None:
    """As `hidden_sign`, for what stands on one line: no line break and no tab either."""
    found = _REFUSED.search(path) or _BLANKS.search(path)
    return _named(found[0]) if found else None


def _named(sign: str) -> str:
    """A sign by its name and number in Unicode: `RIGHT-TO-LEFT OVERRIDE, U+202E`."""
    return f"{unicodedata.name(sign, 'a control character')}, U+{ord(sign):04X}"


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
        message = f"There is a sign here that no editor shows ({_named(refused[0])}); delete it."
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
