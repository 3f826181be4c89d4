"""The letters of every page: two open families, from packages of this project, cut to what is used.

Source Sans 3 for text and Fira Code for the marks that it lacks, both under the SIL Open Font License 1.1.
What is put into a page is a changed copy, which may not bear the reserved name of the first, so both are
renamed here. A character that neither has is drawn with a font of the reader's machine.
"""

from __future__ import annotations

import base64
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Literal

TEXT, MARKS = "Proctool Text", "Proctool Marks"
"""What style sheets call them."""

_SOURCES = {
    TEXT: ("fontpkg_source_sans_3", "SourceSans3[wght].ttf"),
    MARKS: ("fontpkg_fira_code", "FiraCode[wght].ttf"),
}
_CHARGES = frozenset("●◐○")
"""From one font, so that they are of one size."""
_RANGES = ((0x20, 0x7F), (0xA0, 0x180), (0x2010, 0x2027), (0x2070, 0x207A))
_ALWAYS = frozenset(chr(n) for first, end in _RANGES for n in range(first, end)) | frozenset("→←≤≥Ω✓")
"""What a reader may type and scripts may say: languages of Europe in Latin letters, numbers, measures."""
_FEATURES = ["ccmp", "kern", "liga", "locl", "mark", "mkmk", "tnum"]
_KEPT_NAMES = [0, 13, 14]
"""Copyright, licence and where it stands."""

Flavour = Literal["woff2", "truetype"]
"""Small, for a page that is sent; plain, for the source of a PDF."""
_WEIGHTS = {"woff2": ("300 700",), "truetype": ("400", "700")}
"""On a page one file for all weights. The PDF writer would cut that up itself, and note the time in it."""


def faces(text: str, flavour: Flavour) -> str:
    """Style rules that hold the letters for a text; the same text gives the same bytes."""
    wanted = frozenset(char for char in text if char >= " ") | _ALWAYS | _CHARGES
    own = (wanted & _held(TEXT)) - _CHARGES
    other = (wanted - own) & _held(MARKS)
    return "\n".join(
        _face(family, chars, flavour, weight)
        for family, chars in ((TEXT, own), (MARKS, other))
        for weight in _WEIGHTS[flavour]
    )


def _face(family: str, chars: frozenset[str], flavour: Flavour, weight: str) -> str:
    data = base64.b64encode(_cut(family, chars, flavour, weight)).decode("ascii")
    kind = "font/woff2" if flavour == "woff2" else "font/ttf"
    return (
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; font-style: normal; '
        f'src: url(data:{kind};base64,{data}) format("{flavour}"); }}'
    )


def _content(family: str) -> bytes:
    package, name = _SOURCES[family]
    return (files(package) / "files" / name).read_bytes()


@lru_cache(maxsize=2)
def _held(family: str) -> frozenset[str]:
    """The characters of a family."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy; only who writes pages pays for it

    return frozenset(map(chr, TTFont(BytesIO(_content(family)), lazy=True).getBestCmap()))


@lru_cache(maxsize=16)
def _cut(family: str, chars: frozenset[str], flavour: Flavour, weight: str) -> bytes:
    """A font with these characters only, of one weight or with an axis through all."""
    from fontTools.subset import Options, Subsetter  # noqa: PLC0415 - as above
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - as above
    from fontTools.varLib.instancer import instantiateVariableFont  # noqa: PLC0415 - as above

    font = TTFont(BytesIO(_content(family)), recalcTimestamp=False)
    options = Options(layout_features=_FEATURES, hinting=False, notdef_outline=True, name_IDs=_KEPT_NAMES)
    cutter = Subsetter(options)
    cutter.populate(unicodes=sorted(map(ord, chars)))
    cutter.subset(font)
    if flavour == "woff2":
        font.flavor = flavour
    else:
        font = instantiateVariableFont(font, {"wght": int(weight)})
    written = BytesIO()
    font.save(written)
    return written.getvalue()
