"""Lines of a library's files as reports quote them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from proctool.model.span import Span
from proctool.source.text import split_lines


def quote(files: Mapping[str, bytes], spans: Iterable[Span]) -> dict[tuple[str, int], str]:
    """The lines at which places begin, by file and number; a place outside its file has none.

    A file need not be readable: signs that are no UTF-8 are shown by a replacement sign.
    """
    wanted: dict[str, set[int]] = {}
    for span in spans:
        wanted.setdefault(span.file, set()).add(span.line)
    quoted: dict[tuple[str, int], str] = {}
    for file in wanted.keys() & files.keys():
        lines = split_lines(files[file].removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace"))
        quoted |= {(file, line): lines[line - 1] for line in wanted[file] if line <= len(lines)}
    return quoted
