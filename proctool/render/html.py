"""One self-contained HTML page: style, script and pictures inside, nothing fetched."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from typing import Literal

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from proctool.render import prose
from proctool.render.fonts import MARKS, TEXT, faces
from proctool.render.item import Scale
from proctool.render.long_words import breakable
from proctool.render.manual import Manual
from proctool.render.pictures.palette import PAPER, stylesheet
from proctool.render.pictures.picture import Picture
from proctool.render.pictures.svg import svg
from proctool.render.slim import slim
from proctool.render.speech import counted, marked, say, speaking

Medium = Literal["screen", "paper"]
"""A page with boxes to tick and links to follow, or the source of a PDF."""


class Paper(StrEnum):
    """The size of a sheet."""

    A4 = "a4"
    LETTER = "letter"


_STYLE_HERE, _POLICY_HERE = "\ufffe0", "\ufffe1"
"""Where they go once a page is written: no text of a library can hold this character."""
_POLICY = (
    "default-src 'none'; style-src '{}';{} img-src data:; font-src data:; base-uri 'none'; form-action 'none'"
)
_STYLES = {"screen": ("manual.css", "screen.css"), "paper": ("manual.css", "paper.css")}

_COMMENT = re.compile(r"^ *//.*\n", re.MULTILINE)
_FONT = re.compile('font-family="[^"]*"')
_SCRIPTS = ("page", "keep", "readings", "measures", "due", "diagram", "stepping", "record", "start")
"""The scripts of a manual, in the order in which they are joined."""

_KINDS = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"GIF8", "image/gif"),
    (b"RIFF", "image/webp"),
)


def page(
    manual: Manual, figures: Mapping[str, bytes], medium: Medium = "screen", paper: Paper = Paper.A4
) -> str:
    """The manual as one HTML file.

    `figures` holds the bytes of each picture by its file name in the library. A picture that is missing
    there, or of a kind that is not shown, is named with its text alternative instead. `paper` is the size of
    the sheets where the medium is paper.
    """
    pictures = {name: uri for name, content in figures.items() if (uri := data_uri(content))}
    known = {"manual": manual, "paper": medium == "paper", "pictures": pictures}
    if medium == "paper":
        return document("manual.html.j2", medium, _sized(paper), **known)
    return document("manual.html.j2", medium, (), "manual.js", **known)


def card(manual: Manual, paper: Paper = Paper.A4, *, tight: int = 0, diagram: bool = True) -> str:
    """The lockout card as the source of a PDF; `tight` from 0 to 2 sets it smaller, for one sheet."""
    styles = ("card.css", *_sized(paper))
    return document("card.html.j2", "paper", styles, manual=manual, tight=tight, diagram=diagram)


def tables(manual: Manual, paper: Paper = Paper.A4) -> str:
    """The tables of a procedure, each on a sheet of its own, as the source of a PDF."""
    return document("tables.html.j2", "paper", ("tables.css", *_sized(paper)), manual=manual, tight=0)


def _sized(paper: Paper) -> tuple[str, ...]:
    return ("letter.css",) if paper is Paper.LETTER else ()


def document(
    template: str, medium: Medium, styles: tuple[str, ...] = (), script: str = "", /, **context: object
) -> str:
    """A template of ours filled, with its style inside and a policy that allows no other.

    The style is that of the medium, then the style sheets of ours that are named in `styles`. `script` names
    a script of ours that the template puts in; the policy allows that one alone.
    """
    code = _code(script) if script else ""
    shown = context.get("manual")
    language = shown.language if isinstance(shown, Manual) else str(context.get("language", "en"))
    with speaking(language):
        numbering = _numbering()
        written = (
            environment()
            .get_template(template)
            .render(
                context,
                style=_STYLE_HERE,
                policy=_POLICY_HERE,
                script=Markup(code),  # noqa: S704 - our own file
            )
        )
    if medium == "paper":
        written = breakable(written)
    # The letters that a page needs are known when it is written.
    face = faces(written + numbering, "woff2" if medium == "screen" else "truetype")
    style = f"{face}\n{_style(medium, styles)}".replace("PAGE-OF-PAGES", numbering)
    policy = _POLICY.format(_digest(style), f" script-src '{_digest(code)}';" if code else "")
    return written.replace(_POLICY_HERE, policy, 1).replace(_STYLE_HERE, style, 1)


def _numbering() -> str:
    """The number of a sheet, as `content` of a style."""
    said = re.split(r"\{(pages?)\}", say("Page {page} of {pages}"))
    pieces = (
        f"counter({text})" if n % 2 else json.dumps(text, ensure_ascii=False) for n, text in enumerate(said)
    )
    return " ".join(piece for piece in pieces if piece != '""')


def _digest(text: str) -> str:
    """How a content policy names a style or a script."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode('ascii')}"


@lru_cache(maxsize=4)
def _code(script: str) -> str:
    """A script of ours: a file beside the templates, or all of a manual in one, without their comments."""
    folder = files("proctool.render")
    if script != "manual.js":
        return (folder / "templates" / script).read_text(encoding="utf-8")
    parts = [(folder / "scripts" / f"{name}.js").read_text(encoding="utf-8") for name in _SCRIPTS]
    return _COMMENT.sub("", "\n".join(("(() => {", '"use strict";', *parts, "})();")))


def _scales(scales: Iterable[Scale]) -> str:
    """The measures of a field as JSON."""
    return json.dumps([asdict(scale) for scale in scales], ensure_ascii=False, separators=(",", ":"))


def data_uri(content: bytes) -> str | None:
    """A picture as a `data:` address; None where it is no PNG, JPEG, GIF, WebP or SVG."""
    kind = next((kind for head, kind in _KINDS if content.startswith(head)), None)
    if kind == "image/webp" and content[8:12] != b"WEBP":
        kind = None
    if kind is None and b"<svg" in content[:1024]:
        kind = "image/svg+xml"
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}" if kind else None


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The templates. In them `_` says a fixed word, `counted` what is said of a number of things."""
    made = Environment(
        loader=PackageLoader("proctool.render"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["block"] = prose.block
    made.filters["inline"] = prose.inline
    made.filters["svg"] = _drawn
    made.filters["slim"] = slim
    made.filters["scales"] = _scales
    made.globals["_"] = marked
    made.globals["counted"] = counted
    return made


def _drawn(picture: Picture) -> Markup:
    """A picture in the letters of the page around it; without them a PDF takes those of the machine."""
    said = f'font-family="{TEXT}, {MARKS}, DejaVu Sans, sans-serif"'
    return Markup(_FONT.sub(said, svg(picture), count=1))  # noqa: S704 - escaped by `svg`


@lru_cache(maxsize=16)
def _style(medium: Medium, more: tuple[str, ...]) -> str:
    folder = files("proctool.render") / "templates"
    first = [(folder / name).read_text(encoding="utf-8") for name in _STYLES[medium]]
    last = [(folder / name).read_text(encoding="utf-8") for name in more]
    return "\n".join((*first, stylesheet() if medium == "screen" else PAPER, *last))
