"""A picture as SVG text: all of it escaped, no identifiers, no style attributes, the same bytes each time."""

from __future__ import annotations

from markupsafe import Markup, escape

from proctool.render.pictures.palette import PREFIX, attributes
from proctool.render.pictures.picture import Circle, Group, Label, Mark, Path, Picture, Rect
from proctool.render.pictures.text import rightward

_FONT = "DejaVu Sans Condensed, DejaVu Sans, Liberation Sans, sans-serif"
"""For readers without a style sheet; none is wider than what the places were worked out for."""


def svg(picture: Picture) -> Markup:
    """The picture as an `svg` element for a page, or as a file of its own.

    Its title is its name for screen readers and the alternative text in a PDF; the words in `told` and
    `entries` are for the page around it.
    """
    inside = [_element("title", {}, escape(picture.title)), _element("desc", {}, escape(picture.told))]
    inside += [_mark(mark) for mark in picture.marks]
    return _element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": f"picture {picture.kind}",
            "role": "img",
            "aria-label": picture.title,
            "viewBox": f"0 0 {_number(picture.width)} {_number(picture.height)}",
            "width": _number(picture.width),
            "height": _number(picture.height),
            "direction": "ltr",
            "font-family": _FONT,
        },
        Markup("\n").join(inside),
    )


def _mark(mark: Mark) -> Markup:
    if isinstance(mark, Label):
        return _label(mark)
    if isinstance(mark, Path):
        return _element("path", {"d": mark.data, **attributes(mark.paint)})
    if isinstance(mark, Rect):
        places = {"x": mark.x, "y": mark.y, "width": mark.width, "height": mark.height}
        if mark.round:
            places["rx"] = mark.round
        return _element("rect", {**_numbers(places), **attributes(mark.paint)})
    if isinstance(mark, Circle):
        places = {"cx": mark.x, "cy": mark.y, "r": mark.radius}
        return _element("circle", {**_numbers(places), **attributes(mark.paint)})
    return _group(mark)


def _group(group: Group) -> Markup:
    named = {"class": f"{PREFIX}{group.name}", **{f"data-{key}": value for key, value in group.data}}
    if group.hidden:
        named["display"] = "none"
    return _element("g", named, Markup("").join(_mark(mark) for mark in group.marks))


def _label(label: Label) -> Markup:
    x, anchor = label.x, label.anchor
    turned: dict[str, str] = {}
    if rightward(label.text):
        # From the middle both directions agree on where a line stands.
        x, anchor = (label.box.left + label.box.right) / 2, "middle"
        turned = {"direction": "rtl"}
    named = {**_numbers({"x": x, "y": label.y, "font-size": label.size}), "text-anchor": anchor, **turned}
    if label.bold:
        named["font-weight"] = "bold"
    return _element("text", {**named, **attributes(label.paint)}, escape(_printable(label.text)))


def _element(name: str, attrs: dict[str, str], inside: Markup | None = None) -> Markup:
    said = Markup("").join(Markup(' {}="{}"').format(key, _printable(value)) for key, value in attrs.items())
    if inside is None:
        return Markup("<{0}{1}/>").format(Markup(name), said)  # noqa: S704 - a name of ours
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(name), said, inside)  # noqa: S704 - as above


def _printable(text: str) -> str:
    """A text without the characters that XML 1.0 does not allow."""
    return "".join(c for c in text if c >= " " and not "\ud800" <= c <= "\udfff" and c not in "\ufffe\uffff")


def _numbers(places: dict[str, float]) -> dict[str, str]:
    return {name: _number(value) for name, value in places.items()}


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
