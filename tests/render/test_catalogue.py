"""The fixed words of the pages come from one catalogue, kept whole and looked up for each language."""

from __future__ import annotations

from dataclasses import replace
from gettext import GNUTranslations, NullTranslations
from pathlib import Path

import pytest

from proctool.render import catalogue, html, words
from proctool.render.html import card, environment, page
from tests.render import kw4

RENDER = Path(__file__).parents[2] / "proctool" / "render"
POT = RENDER / "locale" / "pages.pot"


def test_the_catalogue_holds_every_fixed_word():
    names = [path.name for path in (RENDER / "templates").glob("*.j2")]
    told = "It is out of date: run .venv/bin/python scripts/catalogue.py"
    assert catalogue.template(environment("en"), names) == POT.read_text(encoding="utf-8"), told


@pytest.mark.parametrize("said", ["Energy isolation", "Lock points", words.COMPARE, words.UNCOVERED[0]])
def test_it_has_headings_and_what_every_manual_carries(said):
    assert f'msgid "{said}"\nmsgstr ""\n' in POT.read_text(encoding="utf-8")


class Marked(NullTranslations):
    """A language whose words are the English ones between signs."""

    def gettext(self, message: str) -> str:
        return f"«{message}»"


def test_a_page_is_said_in_the_language_of_its_library(monkeypatch):
    monkeypatch.setattr(
        html, "catalogue", lambda language: Marked() if language == "xx" else NullTranslations()
    )
    environment.cache_clear()
    shown = replace(kw4.view(), language="xx")
    for text in (page(shown, {}), page(shown, {}, "paper"), card(shown)):
        assert '<html lang="xx">' in text
        assert "«Where»" in text
        assert f"«{words.COMPARE}»" in text
    assert "«" not in page(kw4.view(), {})
    environment.cache_clear()


def test_a_language_without_a_translation_is_said_in_english():
    found = catalogue.catalogue("de-CH")
    assert not isinstance(found, GNUTranslations)
    assert found.gettext(words.COMPARE) == words.COMPARE


def test_an_authors_text_is_never_taken_for_markup(monkeypatch):
    monkeypatch.setattr(html, "catalogue", lambda language: Marked())
    environment.cache_clear()
    shown = replace(kw4.view(), compare="<b>100 % %s</b>")
    assert "«&lt;b&gt;100 % %s&lt;/b&gt;»" in page(shown, {})
    environment.cache_clear()
