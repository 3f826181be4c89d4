"""One self-contained HTML page: style and pictures inside, no script, nothing fetched."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from typing import Literal

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from proctool.render import prose
from proctool.render.manual import Manual
from proctool.render.pictures.palette import PAPER, stylesheet
from proctool.render.pictures.svg import svg

Medium = Literal["screen", "paper"]
"""A page with boxes to tick and links to follow, or the source of a PDF."""


class Paper(StrEnum):
    """The size of a sheet."""

    A4 = "a4"
    LETTER = "letter"


_STYLES = {"screen": ("manual.css", "screen.css"), "paper": ("manual.css", "paper.css")}

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
    return document("manual.html.j2", medium, _sized(paper) if medium == "paper" else (), **known)


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
    style = _style(medium, styles)
    code = (files("proctool.render") / "templates" / script).read_text(encoding="utf-8") if script else ""
    policy = f"default-src 'none'; style-src '{_digest(style)}'; img-src data:"
    policy += f"; script-src '{_digest(code)}'" if code else ""
    policy += "; base-uri 'none'; form-action 'none'"
    written: str = (
        _environment()
        .get_template(template)
        .render(
            context,
            style=Markup(style),  # noqa: S704 - our own file
            script=Markup(code),  # noqa: S704 - as above
            policy=policy,
        )
    )
    return written


def _digest(text: str) -> str:
    """How a content policy names a style or a script."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode('ascii')}"


def data_uri(content: bytes) -> str | None:
    """A picture as a `data:` address; None where it is no PNG, JPEG, GIF, WebP or SVG."""
    kind = next((kind for head, kind in _KINDS if content.startswith(head)), None)
    if kind == "image/webp" and content[8:12] != b"WEBP":
        kind = None
    if kind is None and b"<svg" in content[:1024]:
        kind = "image/svg+xml"
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}" if kind else None


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("proctool.render"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["block"] = prose.block
    environment.filters["inline"] = prose.inline
    environment.filters["svg"] = svg
    return environment


@lru_cache(maxsize=16)
def _style(medium: Medium, more: tuple[str, ...]) -> str:
    folder = files("proctool.render") / "templates"
    first = [(folder / name).read_text(encoding="utf-8") for name in _STYLES[medium]]
    last = [(folder / name).read_text(encoding="utf-8") for name in more]
    return "\n".join((*first, stylesheet() if medium == "screen" else PAPER, *last))
