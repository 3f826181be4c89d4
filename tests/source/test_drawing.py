"""Drawings that are shown, and those that are refused: with words, and the line they stand on."""

import pytest

from proctool.source.drawing import drawing_fault

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9">'


def fault(inside: str) -> tuple[int, str] | None:
    found = drawing_fault(f"{HEAD}\n<title>A drawing</title>\n{inside}\n</svg>\n".encode())
    return None if found is None else (found.line, found.message)


@pytest.mark.parametrize(
    "inside",
    [
        '<path d="M0 0 L9 9" stroke="black"/>',
        '<style>path { fill: url(#hatch); stroke: black }</style><path d="M0 0"/>',
        '<g fill="url(#hatch)" style="stroke: url( \'#hatch\' )"/>',
        '<g id="bolt"><path d="M0 0"/></g><use href="#bolt"/><use xlink:href="#bolt"/>',
        '<image href="data:image/png;base64,AAAA"/>',
        '<a href="#top"><text>on the way: onload=1</text></a>',
    ],
)
def test_a_sound_drawing(inside):
    assert fault(inside) is None


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ("<script>alert(1)</script>", "a `script`: nothing in a drawing may run"),
        ('<s:script xmlns:s="http://www.w3.org/2000/svg"/>', "a `script`"),
        ('<path onload="alert(1)"/>', "`onload`: nothing in a drawing may run"),
        ('<path OnClick="alert(1)"/>', "`onclick`"),
        ("<foreignObject><p/></foreignObject>", "a `foreignobject`, which brings in another kind"),
        ('<set attributeName="href" to="x"/>', "a `set`: a figure on paper does not move"),
        ("<animate/>", "a `animate`"),
        (
            '<image href="https://example.com/a.png"/>',
            "refers to `https://example.com/a.png`, which is outside",
        ),
        ('<image href="other.png"/>', "refers to `other.png`"),
        ('<image xlink:href="file:///etc/passwd"/>', "refers to `file:///etc/passwd`"),
        ('<a href="javascript:alert(1)"/>', "refers to `javascript:alert(1)`"),
        ('<a href="&#106;avascript:alert(1)"/>', "refers to `javascript:alert(1)`"),
        ('<image href="data:image/svg+xml;base64,AAAA"/>', "refers to `data:image/svg+xml"),
        ('<image href="data:text/html,x"/>', "refers to `data:text/html,x`"),
        ('<use href="other.svg#bolt"/>', "refers to `other.svg#bolt`"),
        ('<g xml:base="https://example.com/"/>', "refers to `https://example.com/`"),
        ('<g style="fill: url(https://example.com/x)"/>', "its `style` reaches outside"),
        ("<g style=\"fill: url('//example.com/x')\"/>", "its `style` reaches outside"),
        ('<g filter="URL( other.svg#f )"/>', "its `filter` reaches outside"),
        ("<g style=\"mask: image-set('https://example.com/x' 1x)\"/>", "its `style` reaches outside"),
        ("<style>a { mask: src('https://example.com/x') }</style>", "its style reaches outside"),
        (r'<g style="fill: u\72l(x)"/>', "its `style` reaches outside"),
        ("<style>@import 'x.css';</style>", "its style reaches outside"),
        ("<style>@im<![CDATA[port 'x.css']]>;</style>", "its style reaches outside"),
        ("<style>@im<!-- -->port 'x.css';</style>", "its style reaches outside"),
        ("<?xml-stylesheet href='x.css'?>", "the instruction `xml-stylesheet`"),
        ("<g><path></g>", "no well-formed XML: mismatched tag"),
        ("<g>" * 60 + "</g>" * 60, "more than 60 elements lie inside each other"),
    ],
)
def test_what_runs_or_reaches_outside(inside, words):
    found = fault(inside)
    assert found is not None
    assert found[0] == 3
    assert words in found[1]


def test_too_many_elements():
    assert "more than 20,000 elements" in (fault("<g/>" * 20_001) or (0, ""))[1]


def test_a_use_of_what_uses_another():
    """Ten such lines draw 2 ** 10 times; a hundred never end."""
    lines = "".join(f'<g id="n{n}"><use href="#n{n - 1}"/><use href="#n{n - 1}"/></g>' for n in range(1, 40))
    assert "uses again what itself uses another" in (fault(f'<g id="n0"/>{lines}') or (0, ""))[1]
    assert "uses again what itself uses another" in (fault('<g id="a"><use href="#a"/></g>') or (0, ""))[1]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b'<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "b">]><svg/>', "declares an entity"),
        (b'<!DOCTYPE s [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg>&a;</svg>', "declares an entity"),
        (b"<svg/>", "no `svg` with the namespace of SVG"),
        (b'<html xmlns="http://www.w3.org/1999/xhtml"/>', "no `svg` with the namespace of SVG"),
        (b"<svg", "no well-formed XML"),
        (b'<?xml version="1.0" encoding="utf-99"?><svg/>', "no well-formed XML"),
        (b"\xff\xfe<svg/>", "no well-formed XML"),
        (b"", "no well-formed XML"),
    ],
)
def test_what_is_no_drawing(content, words):
    found = drawing_fault(content)
    assert found is not None and words in found.message
