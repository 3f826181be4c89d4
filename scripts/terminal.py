"""What a command shows on a terminal, as a page: `python scripts/terminal.py PROMPT COMMAND…` writes HTML.

The command gets a terminal of its own, so that it shows colour as it does for a person.
"""

from __future__ import annotations

import html
import os
import pty
import re
import sys

_STYLES = {
    "1": "font-weight: bold",
    "31": "color: #f66",
    "32": "color: #6c6",
    "33": "color: #ec6",
    "36": "color: #6cc",
    "97": "color: #fff",
}
_PAGE = """<!doctype html><meta charset="utf-8"><title>terminal</title>
<style>body {{ margin: 0; background: #16181d; color: #ccd }}
pre {{ margin: 16px; font: 14px/1.35 "DejaVu Sans Mono", monospace }}</style><pre>{}</pre>
"""


def shown(command: list[str]) -> str:
    """All that a command writes on a terminal of 80 columns."""
    pid, terminal = pty.fork()
    if not pid:
        os.environ |= {"TERM": "xterm", "COLUMNS": "80"}
        os.environ.pop("NO_COLOR", None)
        os.execvp(command[0], command)  # noqa: S606 - the caller's own command
    said = bytearray()
    try:
        while piece := os.read(terminal, 65_536):
            said += piece
    except OSError:  # the other side is closed
        pass
    os.waitpid(pid, 0)
    return said.decode().replace("\r\n", "\n")


def page(text: str) -> str:
    """A text with signs for colours as HTML."""
    parts = re.split(r"\x1b\[([0-9;]*)m", text)
    told, styles = [html.escape(parts[0])], []
    for codes, piece in zip(parts[1::2], parts[2::2], strict=True):
        for code in codes.split(";"):
            styles = [] if code in {"", "0"} else [*styles, *([_STYLES[code]] if code in _STYLES else [])]
        told.append(f'<span style="{"; ".join(styles)}">{html.escape(piece)}</span>')
    return _PAGE.format("".join(told))


if __name__ == "__main__":
    sys.stdout.write(page(f"$ {sys.argv[1]}\n{shown(sys.argv[2:])}"))
