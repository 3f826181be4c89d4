"""The fixed words of the pages in other languages: a gettext catalogue named `pages`, English its source.

A translation lies in `locale/LANGUAGE/LC_MESSAGES/pages.mo` beside this file, made from `locale/pages.pot`.
What it lacks is said in English.
"""

from __future__ import annotations

from collections.abc import Iterable
from gettext import NullTranslations, translation
from importlib.resources import files

from jinja2 import Environment

from proctool.render import words

FOLDER = "locale"
DOMAIN = "pages"
_HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'


def catalogue(language: str) -> NullTranslations:
    """The words of a language such as `de-CH`, else of its root `de`, else English."""
    wanted = [language.replace("-", "_"), language.partition("-")[0]]
    return translation(DOMAIN, str(files("proctool.render") / FOLDER), wanted, fallback=True)


def template(pages: Environment, names: Iterable[str]) -> str:
    """The catalogue to be translated: every fixed word of the templates named, and those of `words.FIXED`."""
    told = dict.fromkeys(words.FIXED)
    for name in sorted(names):
        source = (files("proctool.render") / "templates" / name).read_text(encoding="utf-8")
        for _, _, message in pages.extract_translations(source):  # type: ignore[attr-defined] # of the extension
            told.update(dict.fromkeys(text for text in _texts(message) if text))
    return "\n".join((_HEAD, *(f'msgid {_quoted(text)}\nmsgstr ""\n' for text in told)))


def _texts(message: object) -> tuple[str, ...]:
    every = message if isinstance(message, tuple) else (message,)
    return tuple(text for text in every if isinstance(text, str))


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
