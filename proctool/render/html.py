"""One self-contained HTML page: style and pictures inside, no script, nothing fetched."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
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

_KINDS = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"GIF8", "image/gif"),
    (b"RIFF", "image/webp"),
)


def page(manual: Manual, figures: Mapping[str, bytes], medium: Medium = "screen") -> str:
    """The manual as one HTML file.

    `figures` holds the bytes of each picture by its file name in the library. A picture that is missing
    there, or of a kind that is not shown, is named with its text alternative instead.
    """
    pictures = {name: uri for name, content in figures.items() if (uri := data_uri(content))}
    return document("manual.html.j2", medium, manual=manual, paper=medium == "paper", pictures=pictures)


def document(template: str, medium: Medium, **context: object) -> str:
    """A template of ours filled, with the style of the medium inside and a policy that allows no other."""
    style = _styles(medium)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode("ascii")
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )
    written: str = (
        _environment()
        .get_template(template)
        .render(
            context,
            style=Markup(style),  # noqa: S704 - our own file
            policy=policy,
        )
    )
    return written


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


@lru_cache(maxsize=2)
def _styles(medium: Medium) -> str:
    names = {"screen": ("manual.css", "screen.css"), "paper": ("manual.css", "paper.css")}[medium]
    folder = files("proctool.render") / "templates"
    own = [(folder / name).read_text(encoding="utf-8") for name in names]
    return "\n".join((*own, stylesheet() if medium == "screen" else PAPER))
