"""The pages around the manuals as text: what they say of each case, where they lead, what the index holds."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import accumulate

import pytest

from proctool.api import open_library
from proctool.model.verdict import Judgement, Verdict
from proctool.render.manual import Trust
from proctool.render.site.entries import Standing, standing, text_of
from proctool.render.site.pages import MARK, pages
from proctool.render.site.search import Place, index, words
from proctool.rules.packs import RULES
from proctool.rules.page import parse
from proctool.site import Shelf, withdraw_site, write_site
from tests.cli.plant import DEMO
from tests.render import kw4, shelf
from tests.render.test_departures import ONE
from tests.render.test_html import Outline

SAID = {
    Standing.PROVEN: "Proven safe",
    Standing.RECORDED: "Proven safe, with recorded deviations",
    Standing.DEVIATIONS: "Safe with recorded deviations",
    Standing.DRAFT: "Draft: do not work from it",
    Standing.FAULTY: "Refused: it has errors",
    Standing.UNSAFE: "Refused: unsafe",
    Standing.UNPROVEN: "Refused: not proven",
}


@pytest.fixture(scope="module")
def made():
    return pages(shelf.site())


def cases(text):
    """Unit, what is said, and the links of each case in the lists of procedures."""
    listed = text[text.index('<section id="procedures">') :]
    for item in re.findall(r"<li>(.*?)</li>", listed, re.DOTALL):
        unit = re.search(r"<strong>(.*?)</strong>", item)
        said = re.search(r'<p class="verdict( draft)?">\s*(.*?)\s*</p>', item, re.DOTALL)
        assert unit is not None and said is not None
        yield unit[1], said[2], bool(said[1]), re.findall(r'href="(.*?)"', item)


def test_every_case_stands_on_the_first_page_with_its_verdict(made):
    every = sorted(shelf.site().entries, key=lambda e: (e.title, e.procedure, e.unit))
    assert {entry.standing for entry in every} == set(Standing)
    assert list(cases(made["index.html"])) == [
        (e.unit, SAID[e.standing], not e.standing.usable, [address for _, address in e.files]) for e in every
    ]


def test_what_is_refused_has_no_link_to_a_manual(made):
    refused = [e for e in shelf.site().entries if e.standing.refused]
    assert refused
    for entry in refused:
        for text in made.values():
            assert f"{entry.procedure}/{entry.unit}." not in text


@pytest.mark.parametrize(("left", "warned"), [(Standing.DRAFT, "drafts"), (Standing.UNSAFE, "refused")])
def test_the_first_page_warns_only_of_what_there_is(left, warned):
    proven = tuple(replace(e, standing=Standing.PROVEN) for e in shelf.site().entries)
    clean = pages(replace(shelf.site(), entries=proven))["index.html"]
    tainted = pages(replace(shelf.site(), entries=(*proven, replace(proven[0], standing=left))))["index.html"]
    assert f"Some are {warned}" not in clean and f"Some are {warned}" in tainted


def test_units_are_listed_by_family_with_what_stands_how(made):
    text = made["index.html"]
    assert re.findall(r"<h3>Family (.*?)</h3>", text) == ["AD", "HX", "KW", "UV"]
    family = text[text.index('id="family-KW"') : text.index('id="family-UV"')]
    assert re.findall(r'<a href="unit\.(.*?)\.html">', family) == ["KW-2", "KW-4", "KW-4T", "KW-6"]
    counted = sum(int(n) for n in re.findall('<p class="verdict.*?">(\\d+) \N{MULTIPLICATION SIGN}', text))
    assert counted == len(shelf.site().entries)


def test_every_link_leads_somewhere(made):
    manuals = {address for entry in shelf.site().entries for _, address in entry.files}
    places = [place[3] for place in read(made["index.html"])["places"]]
    for address, text in made.items():
        anchors = {page: set(re.findall(r' id="([^"]+)"', other)) for page, other in made.items()}
        links = re.findall(r'href="([^"]+)"', text) + (places if address == "index.html" else [])
        assert links
        for link in links:
            page, _, place = link.partition("#")
            page = page or address
            assert page in manuals or page in made, (address, link)
            assert not place or place in anchors[page], (address, link)


def test_ids_are_never_given_twice(made):
    for address, text in made.items():
        ids = re.findall(r' id="([^"]+)"', text)
        assert len(ids) == len(set(ids)), address


def test_every_rule_is_told_as_explain_tells_it(made):
    text = {address: Outline(page).text for address, page in made.items()}
    for rule in RULES.values():
        page = parse(rule)
        told = text[f"rules.{rule.pack}.html"]
        assert rule.id in told and f'id="{rule.id.partition("/")[2]}"' in made[f"rules.{rule.pack}.html"]
        for part in (page.asks, page.why, page.source):
            assert "".join(part.replace("`", "").split()) in "".join(told.split()), rule.id
    assert "house/glasses-first" in text["rules.html"]
    assert all(rule in text["rules.html"] for rule in RULES)


class TestUnit:
    def test_every_part_stands_in_one_table(self, made):
        for survey in shelf.site().units:
            rows = re.findall(r'<tr role="row" id="part-(.*?)">', made[f"unit.{survey.unit.id}.html"])
            assert sorted(rows) == sorted(survey.unit.parts)

    def test_who_walked_it_what_it_holds_and_what_cannot_be_opened(self, made):
        said = " ".join(Outline(made["unit.KW-4.html"]).text.split())
        assert "R. Imrie" in said and "4100 to 4999" in said and "KW-4-E2" in said
        assert "Mains voltage beside water." in said
        assert "No isolator stands between the water main and the inlet valve V1 (water)." in said
        assert "Energy diagram of KW-4" in said
        assert "This page is no procedure" in said

    def test_one_that_nobody_walked_says_so(self):
        first = shelf.site().units[0]
        unwalked = replace(first, unit=replace(first.unit, checked=None))
        said = "Nobody has walked this unit"
        name = f"unit.{first.unit.id}.html"
        assert said in pages(replace(shelf.site(), units=(unwalked,)))[name]
        assert said not in pages(replace(shelf.site(), units=(first,)))[name]


def read(text):
    found = re.search(r'<script type="application/json" id="index">(.*?)</script>', text, re.DOTALL)
    assert found is not None
    return json.loads(found[1])


def holding(told, word):
    return [told["places"][n][1] for n in accumulate(told["words"].get(word, []))]


class TestIndex:
    def test_words_are_bare_and_lower(self):
        assert words("Prüfe den O-Ring der KW-4T: 22 N·m, E_2") == frozenset(
            ["prufe", "den", "o", "ring", "der", "kw", "4t", "22", "n", "m", "e", "2"]
        )

    def test_a_word_names_the_places_that_hold_it(self):
        known = (("A x", ""), ("B", "x"), ("C", "y"))
        places = [Place("part", title, "", "a", text) for title, text in known]
        told = json.loads(index(places))
        assert told["words"] == {"a": [0], "x": [0, 1], "b": [1], "c": [2], "y": [2]}

    def test_it_holds_manuals_units_parts_and_rules(self, made):
        told = read(made["index.html"])
        kinds = {"manual", "draft", "refused", "unit", "part", "rule"}
        assert {place[0] for place in told["places"]} == kinds
        assert "KW-4 · Twin-cartridge water skid with booster pump" in holding(told, "4100")
        assert "Inlet valve V1 · KW-4" in holding(told, "v1")
        assert "energy/closed-loose" in holding(told, "loosened")
        assert "Change the sediment and carbon cartridges · KW-2" in holding(told, "dichtung")

    def test_what_is_no_manual_to_work_from_is_not_called_one(self, made):
        kinds = {place[1]: place[0] for place in read(made["index.html"])["places"]}
        for entry in shelf.site().entries:
            draft = "draft" if entry.standing is Standing.DRAFT else "refused"
            told = "manual" if entry.standing.usable else draft
            assert kinds[f"{entry.title} · {entry.unit}"] == told

    def test_nothing_in_it_ends_its_block(self, made):
        text = made["index.html"]
        block = text[text.index('id="index">') : text.index("</script>", text.index('id="index">'))]
        assert block.endswith("}") and "\\u003c" in index([Place("rule", "</script>", "", "", "")])
        assert "</script" not in index([Place("rule", "</script>", "", "", "")])

    def test_it_is_small(self, made):
        assert len(made["index.html"].encode()) < 400_000


def test_the_same_library_gives_the_same_bytes(made):
    assert pages(shelf.site()) == made


def test_a_name_with_markup_stays_text(made):
    assert all("Fellmoor Plant <service>" not in text for text in made.values())
    assert "Fellmoor Plant &lt;service&gt;" in made["index.html"]


class TestOfManual:
    def test_how_it_stands(self):
        assert standing(kw4.view()) is Standing.PROVEN
        assert standing(kw4.view(deviations=(ONE,))) is Standing.RECORDED
        assert standing(kw4.view(draft=True)) is Standing.DRAFT
        assert standing(replace(kw4.view(), trust=Trust.DEVIATIONS)) is Standing.DEVIATIONS

    def test_its_text_holds_the_steps_those_of_failed_checks_too(self):
        view = kw4.view()
        text = text_of(view)
        for section in view.sections:
            for item in section.items:
                assert item.text in text
                if item.failure is not None:
                    assert item.failure.text in text
                    assert all(i.text in text for s in item.failure.sections for i in s.items)


class TestFiles:
    @pytest.fixture
    def demo(self):
        library = open_library(DEMO)
        assert library.file is not None
        return Shelf(library.file, tuple(library.units.whole.values()), tuple(library.procedures.values()))

    def test_what_was_refused_is_told_with_its_reason(self, tmp_path, demo):
        refused = [
            Judgement("weekly-round", "KW-2", Verdict.UNSAFE, 1, 1),
            Judgement("weekly-round", "KW-4", Verdict.UNPROVEN, None, 1),
            Judgement("weekly-round", "KW-6", Verdict.SAFE, 1, 1),
        ]
        written = write_site(tmp_path, demo, [], refused)
        assert written[-1] == tmp_path / "index.html"
        assert [(unit, said) for unit, said, _, _ in cases(written[-1].read_text(encoding="utf-8"))] == [
            ("KW-2", "Refused: unsafe"),
            ("KW-4", "Refused: not proven"),
            ("KW-6", "Refused: it has errors"),
        ]

    def test_pages_of_what_left_the_library_are_taken_away_and_others_kept(self, tmp_path, demo):
        written = write_site(tmp_path, demo, [], [])
        assert all(MARK in path.read_bytes()[:1000] for path in written)
        fewer = replace(demo, units=tuple(unit for unit in demo.units if unit.id != "KW-4"))
        for name in ("unit.notes.html", "rules.mine.html"):
            (tmp_path / name).write_text("mine")
        assert withdraw_site(tmp_path, write_site(tmp_path, fewer, [], [])) == [tmp_path / "unit.KW-4.html"]
        assert len(withdraw_site(tmp_path)) == len(written) - 1
        assert {path.name for path in tmp_path.iterdir()} == {"unit.notes.html", "rules.mine.html"}

    def test_nothing_to_take_away_where_nothing_is(self, tmp_path):
        assert withdraw_site(tmp_path / "missing") == []
