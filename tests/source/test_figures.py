"""Pictures of points: whole, of a kind that is shown, and of a size that a page can hold."""

import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image

from proctool.source.figures import MAX_BYTES, Refused, read_figure


def picture(kind: str) -> bytes:
    written = BytesIO()
    Image.new("RGB", (8, 6), "white").save(written, kind)
    return written.getvalue()


def chunk(kind: bytes, content: bytes) -> bytes:
    checked = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", checked)


def huge(side: int) -> bytes:
    """A PNG of a few dozen bytes that says it has so many points on each side."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")


def read(tmp_path, content: bytes) -> bytes | Refused:
    (tmp_path / "a.png").write_bytes(content)
    return read_figure(tmp_path, "a.png")


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "GIF", "WEBP"])
def test_a_sound_picture(tmp_path, kind):
    assert read(tmp_path, picture(kind)) == picture(kind)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is no PNG, JPEG, GIF, WebP or SVG picture."),
        (b"not a picture", "is no PNG, JPEG, GIF, WebP or SVG picture."),
        (picture("BMP"), "is no PNG, JPEG, GIF, WebP or SVG picture."),
        (picture("PNG")[:-30], "is damaged: it cannot be read to its end."),
        (
            b"\x89PNG\r\n\x1a\nnothing more",
            ("is no PNG, JPEG, GIF, WebP or SVG picture.", "cannot be read to its end."),
        ),
        (huge(7_000), "is 7,000 by 7,000 points. Make it smaller."),
        (huge(100_000), "has more than 40,000,000 points. Make it smaller."),
        (b"\0" * (MAX_BYTES + 1), "has more than 4 MiB. Make it smaller."),
    ],
    ids=["empty", "text", "another kind", "cut", "head only", "many points", "far more points", "many bytes"],
)
def test_what_cannot_be_shown(tmp_path, content, words):
    refused = read(tmp_path, content)
    assert isinstance(refused, Refused)
    assert refused.why.startswith("`a.png`") and refused.why.endswith(words)
    assert refused.line is None


def test_a_drawing_with_a_script_says_its_line(tmp_path):
    drawing = b'<svg xmlns="http://www.w3.org/2000/svg">\n  <script/>\n</svg>'
    refused = read(tmp_path, drawing)
    assert isinstance(refused, Refused)
    assert refused.line == 2
    assert (
        refused.why
        == "`a.png` cannot be shown: it has a `script`: nothing in a drawing may run. Take it away."
    )
