"""The fixed words of the pages, said in the language of the library: gettext, English its source.

A translation lies in `locale/LANGUAGE/LC_MESSAGES/pages.mo` beside this file, made from `locale/pages.pot`.
What it lacks, or has wrong, is said in English. Which language is spoken is bound to the thread, so that
nothing that only passes words on has to know of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from gettext import NullTranslations, translation
from importlib.resources import files
from typing import TypeVar

from markupsafe import Markup, escape

FOLDER = "locale"
DOMAIN = "pages"
_Text = TypeVar("_Text", str, Markup)
_SPOKEN: ContextVar[NullTranslations | None] = ContextVar("spoken", default=None)


def catalogue(language: str) -> NullTranslations:
    """The words of a language such as `de-CH`, else of its root `de`, else English."""
    wanted = [language.replace("-", "_"), language.partition("-")[0]]
    return translation(DOMAIN, str(files("proctool.render") / FOLDER), wanted, fallback=True)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Within the block, and in this thread only, fixed words are said in this language."""
    before = _SPOKEN.set(catalogue(language))
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def say(message: str, /, **values: object) -> str:
    """A fixed word or whole sentence, with values in the place of its `{names}`.

    Where none are given the message stays as it is: braces are then for a script to fill in.
    """
    return _filled(_looked_up(message), message, values)


def marked(message: str, /, **values: object) -> Markup:
    """As `say`, to stand in a page: values that are markup stay so, all else is escaped."""
    return _filled(escape(_looked_up(message)), escape(message), values)


def counted(one: str, many: str, number: int, /, **values: object) -> str:
    """What is said of a number of things; the number itself stands for `{n}`, unless values tell another."""
    spoken = _SPOKEN.get()
    plain = one if number == 1 else many
    said = spoken.ngettext(one, many, number) if spoken else plain
    return _filled(said, plain, {"n": number, **values})


def fixed(message: str) -> str:
    """A fixed word that is looked up later, by `say`: this only marks it for the catalogue."""
    return message


def _looked_up(message: str) -> str:
    spoken = _SPOKEN.get()
    # Under the empty message stands the head of a catalogue.
    return spoken.gettext(message) if spoken and message else message


def _filled(said: _Text, message: _Text, values: Mapping[str, object]) -> _Text:
    if not values:
        return said
    try:
        return said.format_map(values)
    except (LookupError, ValueError, AttributeError):
        # A slip of a translation takes no page away.
        return message.format_map(values)
