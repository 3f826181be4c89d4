"""Places where the longest words of a sheet may break; shorter words and numbers stay whole."""

from __future__ import annotations

import re

_TEXT = re.compile(r">[^<]+")
_WORD = re.compile(r"(?:&[#A-Za-z0-9]+;|[^\s&<>\u00a0]){29,}")
_PIECE = re.compile(r"(?:&[#A-Za-z0-9]+;|.){1,14}")
_BREAK = "\u200b"


def breakable(page: str) -> str:
    """A page whose words of more than 28 characters may break after each 14; its head stays as it is."""
    head, end, body = page.partition("</head>")
    return head + end + _TEXT.sub(lambda text: _WORD.sub(_broken, text[0]), body)


def _broken(word: re.Match[str]) -> str:
    return _BREAK.join(_PIECE.findall(word[0]))
