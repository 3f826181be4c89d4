"""Widths are bounds, and no letter is lost where a line breaks."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from proctool.render.pictures.text import _clusters as clusters
from proctool.render.pictures.text import measure, rightward, wrap

FONTS = "/usr/share/fonts/truetype/dejavu/DejaVuSans{}.ttf"
SAID = (
    "Sediment relief button V5",
    "WARMWASSERRÜCKLAUF",
    "Wiring MAIN, 230 V (X1)",
    "Обратный клапан на входе",
    "ΒΑΛΒΙΔΑ ΕΙΣΟΔΟΥ",
    "éàü ñ ø ł",
    "0123456789 \N{MINUS SIGN} \N{MULTIPLICATION SIGN} · … °C m³",
)


@pytest.mark.parametrize("text", SAID)
@pytest.mark.parametrize("bold", [False, True])
def test_no_text_is_wider_than_measured(text, bold):
    font = TTFont(FONTS.format("-Bold" if bold else ""))
    names, advance = font.getBestCmap(), font["hmtx"]
    real = sum(advance[names[ord(char)]][0] for char in text) / font["head"].unitsPerEm * 10
    assert real <= measure(text, 10, bold=bold) <= 2 * real


@given(st.text(), st.floats(5, 200), st.sampled_from([8.0, 10.5]), st.booleans())
def test_wrapping_loses_no_character_and_keeps_to_the_width(text, width, size, bold):
    made = wrap(text, width, size, bold=bold)
    assert "".join("".join(made).split()).replace("-", "") == "".join(text.split()).replace("-", "")
    for line in made:
        assert line == line.strip() != ""
        assert measure(line, size, bold=bold) <= width or len(clusters(line)) == 1


def test_a_word_is_broken_with_a_hyphen_and_leaves_no_lone_letter():
    assert wrap("disinfectant", 57, 10) == ("disinfect-", "ant")
    assert wrap("RÜCKLAUFVENTIL", 60, 10) == ("RÜCKLAUF-", "VENTIL")
    assert wrap("XV-1002345678", 60, 10) == ("XV-100234", "5678")  # a tag has no hyphen of ours
    assert wrap("過濾器過濾器", 40, 10) == ("過濾器", "過濾器")


def test_a_mark_stays_with_its_letter():
    assert wrap("e\u0301" * 6, 6, 10) == ("e\u0301",) * 6


def test_the_direction_of_a_text_is_that_of_its_first_letter():
    assert [rightward(text) for text in ("V1 صمام", "صمام V1", "12 שסתום", "12", "")] == [
        False,
        True,
        True,
        False,
        False,
    ]
