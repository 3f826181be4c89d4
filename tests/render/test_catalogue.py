"""The fixed words of the pages come from one catalogue, kept whole and looked up for each language."""

from __future__ import annotations

import ast
import re
import struct
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from gettext import GNUTranslations, NullTranslations
from itertools import chain

import pytest

from proctool.api import Library, audited, compared, open_library
from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.render import catalogue, loose, speech, words
from proctool.render.html import card, page, tables
from proctool.render.manual import Deviated
from proctool.render.site.pages import pages
from proctool.render.speech import counted, marked, say, speaking
from tests.cli.plant import FILES
from tests.render import kw4, pseudo, sheets, shelf

RENDER = pseudo.POT.parents[1]
TABLES = (sheets.change_point(), sheets.torque(), sheets.change_point(known=False, guard=False, nearby=None))
DEVIATED = (
    Deviated(
        "Nothing is locked.", "energy/unlocked", "open-first", "It is small.", "Watch it.", "A. Ng", "2027"
    ),
    Deviated("No seal is looked at.", "leak/seal", None, "", "", "", "2027"),
)


def test_the_catalogue_holds_every_fixed_word():
    told = "It is out of date: run .venv/bin/python scripts/catalogue.py"
    assert catalogue.template() == pseudo.POT.read_text(encoding="utf-8"), told


def test_each_message_stands_in_it_once():
    found = re.findall(r'^msgid (".*")$', catalogue.template(), re.MULTILINE)
    assert len(found) > 500
    assert [text for text, times in Counter(found).items() if times > 1] == []


@pytest.mark.parametrize(
    "said", ["Energy isolation", "Lock points", words.COMPARE, words.UNCOVERED[0], "valve"]
)
def test_it_has_headings_what_every_manual_carries_and_words_of_the_file_format(said):
    assert f'msgid "{said}"\nmsgstr ""\n' in catalogue.template()


def test_numbers_of_things_have_a_form_for_one_and_for_many():
    told = 'msgid "{n} lock"\nmsgid_plural "{n} locks"\nmsgstr[0] ""\nmsgstr[1] ""\n'
    assert told in catalogue.template()


@pytest.mark.parametrize(
    "call", ['say(f"{a} is off")', 'say("off: " + a)', 'counted("one", f"{n} of {m}", n)']
)
def test_a_message_put_together_where_it_is_said_is_refused(call):
    with pytest.raises(ValueError, match=r"^card\.py:2: a message must stand whole"):
        list(catalogue._of_module("card.py", f"\n{call}"))


# How words are said


class Marked(NullTranslations):
    """A language whose words are the English ones between signs, with a form for two things."""

    def gettext(self, message: str) -> str:
        return f"«{message}»"

    def ngettext(self, one: str, many: str, number: int) -> str:
        return "«both»" if number == 2 else self.gettext(one if number == 1 else many)


@pytest.fixture
def xx(monkeypatch):
    """A language of that name is spoken by `Marked`, all others are English."""
    monkeypatch.setattr(speech, "catalogue", lambda name: Marked() if name == "xx" else NullTranslations())


@pytest.mark.usefixtures("xx")
def test_words_are_said_in_the_language_spoken():
    assert say("Lock") == "Lock"
    with speaking("xx"):
        assert say("Lock") == "«Lock»"
        assert say("step {number}", number=3) == "«step 3»"
        assert say("Step {number} of {all}") == "«Step {number} of {all}»"  # for a script
        assert [counted("{n} lock", "{n} locks", n) for n in (1, 2, 3)] == ["«1 lock»", "«both»", "«3 locks»"]
        with speaking("en"):
            assert say("Lock") == "Lock"
        assert say("Lock") == "«Lock»"
    assert say("Lock") == "Lock"


@pytest.mark.usefixtures("xx")
def test_another_thread_speaks_its_own_language():
    with speaking("xx"), ThreadPoolExecutor(1) as pool:
        assert pool.submit(say, "Lock").result() == "Lock"


@pytest.mark.parametrize("slip", ["{nummer} fehlt", "{", "{0}", "{number.x}", "{number!q}"])
def test_a_slip_of_a_translation_takes_no_page_away(monkeypatch, slip):
    class Slipped(NullTranslations):
        def gettext(self, message: str) -> str:
            return slip

    monkeypatch.setattr(speech, "catalogue", lambda language: Slipped())
    with speaking("de"):
        assert say("step {number}", number=3) == "step 3"
        assert marked("step {number}", number="<3>") == "step &lt;3&gt;"


def compiled(told: dict[str, str]) -> bytes:
    """A catalogue as gettext tools write it (GNU gettext manual, The Format of GNU MO Files)."""
    every = [(key.encode(), value.encode()) for key, value in sorted(told.items())]
    at = 28 + 16 * len(every)
    places: list[list[int]] = [[], []]
    for side in (0, 1):
        for pair in every:
            places[side] += [len(pair[side]), at]
            at += len(pair[side]) + 1
    texts = b"".join(pair[side] + b"\0" for side in (0, 1) for pair in every)
    head = (0x950412DE, 0, len(every), 28, 28 + 8 * len(every), 0, 0)
    return struct.pack(f"<{7 + 4 * len(every)}I", *head, *places[0], *places[1]) + texts


def test_a_translation_beside_the_pages_is_spoken(monkeypatch, tmp_path):
    folder = tmp_path / "locale" / "de" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    rule = "Content-Type: text/plain; charset=UTF-8\nPlural-Forms: nplurals=2; plural=n != 1;\n"
    told = {"": rule, "Lock": "Schloss", "{n} lock\0{n} locks": "{n} Schloss\0{n} Schlösser"}
    (folder / "pages.mo").write_bytes(compiled(told))
    monkeypatch.setattr(speech, "files", lambda package: tmp_path)
    with speaking("de-CH"):
        assert say("Lock") == "Schloss"
        assert [counted("{n} lock", "{n} locks", n) for n in (1, 2)] == ["1 Schloss", "2 Schlösser"]
        assert say("Isolator") == "Isolator"


def test_a_language_without_a_translation_is_said_in_english():
    found = speech.catalogue("de-CH")
    assert not isinstance(found, GNUTranslations)
    assert found.gettext(words.COMPARE) == words.COMPARE


# The pages


@pytest.mark.usefixtures("xx")
def test_a_page_is_said_in_the_language_of_its_library():
    shown = kw4.view(kw4.with_facts(kw4.plan(), language="xx"))
    for text in (page(shown, {}), page(shown, {}, "paper"), card(shown)):
        assert '<html lang="xx">' in text
        assert "«Where»" in text
        assert f"«{words.COMPARE}»" in text
    assert "«" not in page(kw4.view(), {})


@pytest.mark.usefixtures("xx")
def test_an_authors_text_is_never_taken_for_markup():
    plan = kw4.with_facts(kw4.plan(), language="xx", library="<b>100 % %s {x}</b>", number="<i>")
    shown = replace(kw4.view(plan), revision="<b>{0}</b>")
    assert "«Revision &lt;b&gt;{0}&lt;/b&gt;»" in page(shown, {})
    assert "<i>" not in page(shown, {})


@pytest.fixture
def signed(monkeypatch):
    """Every language is spoken by `Pseudo`."""
    found = pseudo.Pseudo()
    monkeypatch.setattr(speech, "catalogue", lambda language: found)
    return found


def leaks(texts, *authored):
    known = pseudo.authored(*authored)
    return list(dict.fromkeys(chain.from_iterable(pseudo.leaks(text, known) for text in texts)))


@pytest.mark.usefixtures("signed")
def test_sheets_are_numbered_in_the_language_of_the_library():
    assert 'content: "⟦Page ⟧" counter(page) "⟦ of ⟧" counter(pages);' in page(kw4.view(), {}, "paper")


def test_sheets_are_numbered_in_any_order(monkeypatch):
    class Other(NullTranslations):
        def gettext(self, message: str) -> str:
            return "{pages} „Seiten“, davon {page}" if message == "Page {page} of {pages}" else message

    monkeypatch.setattr(speech, "catalogue", lambda language: Other())
    assert 'content: counter(pages) " „Seiten“, davon " counter(page);' in card(kw4.view())


def every_page(shown):
    return (page(shown, {}), page(shown, {}, "paper"), card(shown), tables(shown))


@pytest.mark.usefixtures("signed")
@pytest.mark.parametrize("draft", [False, True])
@pytest.mark.parametrize("verdict", Verdict)
def test_a_manual_its_card_and_its_tables_say_nothing_outside_the_catalogue(verdict, draft):
    plan = kw4.plan()
    shown = kw4.view(
        plan, draft=draft, verdict=verdict, tables=TABLES, deviations=DEVIATED, lowered=("leak/seal",)
    )
    assert leaks(every_page(shown), plan, TABLES, DEVIATED, shown.document, "leak/seal") == []


@pytest.mark.usefixtures("signed")
def test_a_manual_without_facts_says_nothing_outside_the_catalogue():
    plan = replace(kw4.plan(), facts=None)
    shown = kw4.view(plan)
    assert "⟦Not stated.⟧" in page(shown, {})
    assert leaks(every_page(shown), plan, shown.document, "bar") == []


@pytest.mark.usefixtures("signed")
@pytest.mark.parametrize(
    ("procedure", "unit"),
    [("change-cartridges", "KW-4"), ("replace-desiccant", "AD-20"), ("weekly-round", "HX-5")],
)
def test_a_manual_of_the_demo_says_nothing_outside_the_catalogue(procedure, unit, tmp_path):
    demo = open_library(shelf.DEMO)
    asked = {"procedure": procedure, "unit": unit, "today": date(2026, 6, 1)}
    written = demo.build(tmp_path, formats=frozenset({"html"}), **asked).written[0]
    (case,) = demo.cases(procedure=procedure, unit=unit)
    known = (case.plan, case.tables, demo.procedures[procedure], f"{procedure}/{unit}")
    assert leaks([written.read_text(encoding="utf-8")], *known) == []


@pytest.mark.usefixtures("signed")
def test_the_pages_around_the_manuals_say_nothing_outside_the_catalogue():
    site = shelf.site()
    names = [rule.id for rule in site.rules] + [rule.pack for rule in site.rules]
    found = pages(site)
    assert "⟦Families and units⟧" in found["index.html"]
    assert leaks(found.values(), site, names) == []


@pytest.mark.usefixtures("signed")
def test_an_audit_says_nothing_outside_the_catalogue():
    block = FILES["blocks/make-safe.yaml"].replace("        lock: device\n", "")
    library = Library.from_texts({**FILES, "blocks/make-safe.yaml": block})
    found = audited(library, version="0", today=date(2026, 6, 1))
    rows = [line.key for line in found.audit.lines]
    judged = [*(level.value for level in Level), *(word.kind for word in found.audit.words)]
    told = [said for line in found.audit.lines for said, _ in line.row.told]
    assert "⟦Yearly reviews⟧" in found.to_html()
    assert leaks([found.to_html()], found.audit, rows, judged, told, "2026-06-01", "proctool 0") == []


@pytest.mark.usefixtures("signed")
@pytest.mark.parametrize("gauged", [True, False])
def test_a_table_outside_a_manual_says_nothing_outside_the_catalogue(gauged, monkeypatch):
    monkeypatch.setattr(loose, "written_pdf", str.encode)
    origin = loose.Origin("Filter", "xx", "Plant", "KW-4", "Skid", ("From a note.",))
    text = loose.loose_pdf(origin, TABLES, gauged=gauged).decode()
    assert "⟦outside a manual⟧" in text
    assert leaks([text], origin, TABLES) == []


@pytest.mark.usefixtures("signed")
def test_a_comparison_says_nothing_outside_the_catalogue():
    demo = open_library(shelf.DEMO)
    found = compared(demo, "change-cartridges@KW-2", "change-cartridges@KW-6")
    text = found.to_html()
    assert "⟦What differs, and whether the safety does⟧" in text
    assert leaks([text], found, found.sheets) == []


@pytest.mark.parametrize(
    "text",
    [
        "<p>inlet valve of the ⟦line⟧</p>",
        "<p>⟦Lock⟧ on</p>",
        '<p aria-label="Step 3 ⟦is done⟧">inlet valve</p>',
        '<div id="page-words" data-next="Done, next"></div>',
        "<svg><text>inlet</text><text>valve</text><text>open</text></svg>",
    ],
)
def test_words_outside_the_catalogue_are_found(text):
    known = pseudo.authored("inlet valve", kw4.unit())
    assert pseudo.leaks(text, known)
    assert not pseudo.leaks("<p>⟦The⟧ inlet valve V1⟦, ⟧Inlet valve: 4.0 bar ⟦or⟧ 3</p>", known | {"v1"})


def test_the_words_of_the_catalogue_are_read_whole():
    found = pseudo.Pseudo()
    assert found.gettext("{part} {how} and locked") == "{part}⟦ ⟧{how}⟦ and locked⟧"
    assert found.gettext("no message of ours") == "no message of ours"
    texts = re.findall(r'^msgid (".*")$', pseudo.POT.read_text(encoding="utf-8"), re.MULTILINE)
    assert {ast.literal_eval(text) for text in texts} - {""} <= found.messages


@pytest.mark.parametrize("script", sorted(RENDER.rglob("*.js")), ids=lambda path: path.name)
def test_a_script_has_no_words_of_its_own(script):
    code = re.sub(r"^\s*//.*$", "", script.read_text(encoding="utf-8"), flags=re.MULTILINE)
    sentences = re.findall(r'"[A-Z][a-z]+ [^"\n]*"|`[A-Z][a-z]+ [^`\n]*`', code)
    assert [*sentences, *re.findall(r"\$\{[^}`]*\} [a-z]{2,}[^`\n]*`", code)] == []
