"""Each thing that a result is made from, changed by itself: all is worked out anew, and `--why` names it."""

from __future__ import annotations

from datetime import date

import pytest

from proctool.api import Means, crew, open_library, open_store
from tests.cli.plant import written

DAY = date(2026, 11, 25)
PLACE = {"procedure": "change-filter", "unit": "F-1"}

DEVIATION = """
deviations:
  - {rule: leak/seal-not-inspected, part: first, why: It is moulded., instead: A new lid., by: A. Nyone,
     until: 2026-12-01}
"""
PICTURE = "    figure: {file: figures/filter.svg, alt: The filter.}\n"
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="%d" height="9"/></svg>'
HOUSE = """
house_rules:
  - {id: told-first, say: Tell the crew before anything is opened., before: {act: open}, first: {act: tell}}
"""


class Plant:
    """A small library on disk, built again and again over one store."""

    def __init__(self, folder, means):
        self.folder, self.means = folder, means
        self.library, self.to = folder / "library", folder / "out"
        written(self.library)
        (self.library / "figures").mkdir()
        (self.library / "figures/filter.svg").write_text(DRAWING % 5)
        self.edit("change-filter.yaml", "    open: first\n", "    open: first\n" + PICTURE)

    def edit(self, file, old, new):
        path = self.library / file
        text = path.read_text()
        assert text.count(old) == 1
        path.write_text(text.replace(old, new))

    def build(self, to=None, **more):
        """Build the one manual, into another folder without looking anything up."""
        asked = {"formats": frozenset({"html"}), "today": DAY, **PLACE, **more}
        means = {"means": self.means} if to is None else {}
        return open_library(self.library).build(to or self.to, **asked, **means)

    def why(self, **more):
        """Why the one manual was made anew; it is the one made afresh."""
        built, afresh = self.build(**more), self.build(self.folder / "afresh", **more)
        assert [file.read_bytes() for file in built.written] == [f.read_bytes() for f in afresh.written]
        assert built.refused == afresh.refused
        return [one.why for one in built.anew]


@pytest.fixture
def plant(tmp_path):
    store = open_store()
    made = Plant(tmp_path, Means(crew(1), store))
    assert made.why() == [("nothing is kept of it",)]
    assert made.why() == []
    yield made
    store.close()


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("change-filter.yaml", "time: 10 min", "time: 20 min", "the procedure"),
        ("units/f-1.yaml", "100 and up", "150 and up", "unit F-1"),
        ("units/f-base.yaml", "4 bar", "5 bar", "unit F-1"),
        ("blocks/make-safe.yaml", "Leave the locks on.", "Leave all locks on.", "block make-safe"),
        ("library.yaml", "strap wrench", "chain wrench", "library.yaml"),
        (
            "library.yaml",
            "language: en\n",
            "language: en\nlevels: {wording/too-long: error}\n",
            "levels of rules",
        ),
        ("library.yaml", "sentences:\n", HOUSE + "sentences:\n", "profile and house rules"),
        ("library.yaml", "language: en\n", "language: en\nsecond_signature: critical\n", "second signature"),
        (
            "units/f-2.yaml",
            "title: Filter 2\n",
            "title: Filter 2\nfacts: {cooling: 5 min}\n",
            "names that units of the library have",
        ),
    ],
)
def test_in_files(plant, file, old, new, told):
    plant.edit(file, old, new)
    (why,) = plant.why()
    assert told in why
    assert plant.why() == []


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"budget": 10_000}, ("budget",)),
        ({"formats": frozenset({"html", "card"})}, ("formats", "setting of text on sheets")),
    ],
)
def test_in_the_call(plant, asked, told):
    assert plant.why(**asked) == [told]
    assert plant.why(**asked) == []


def test_size_of_sheets(plant):
    card = {"formats": frozenset({"card"})}
    plant.why(**card)
    assert plant.why(**card, paper="letter") == [("paper",)]


def test_the_day(plant):
    """Where it decides on a deviation, and only there."""
    assert plant.why(today=date(2026, 12, 24)) == []
    plant.edit("change-filter.yaml", "people: [technician]", DEVIATION + "people: [technician]")
    assert plant.why() == [("deviations that count today", "the procedure")]
    assert plant.why(today=date(2026, 11, 30)) == []
    assert plant.why(today=date(2026, 12, 24)) == []  # too late: it is refused
    assert plant.why(draft=True) == [("mark of a draft",)]
    assert plant.why(draft=True, today=date(2026, 12, 24)) == [("deviations that count today",)]


def test_mark_of_a_draft(plant):
    plant.edit("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
    assert plant.why() == []  # refused
    assert plant.why(draft=True)[0]
    assert plant.why(draft=True) == []


def test_a_picture(plant):
    (plant.library / "figures/filter.svg").write_text(DRAWING % 6)
    assert plant.why() == [("pictures",)]
    assert plant.why() == []
    (plant.library / "figures/filter.svg").write_text(DRAWING % 5)
    assert plant.why() == []


def test_a_picture_that_is_changed_between_judging_and_printing(plant):
    """Its page would be kept under the digest of the picture that was there before."""
    drawing = plant.library / "figures/filter.svg"

    def watch(label, many, done):
        yield from done
        if label == "proving":
            drawing.write_text(DRAWING % 7)

    drawing.write_text(DRAWING % 6)
    built = plant.build(watch=watch)
    ((judgement, why),) = built.failed
    assert judgement.unit == "F-1"
    assert why == "`figures/filter.svg` was changed meanwhile; build again"
    drawing.write_text(DRAWING % 6)
    assert plant.why() == [("pictures",)]


def test_proctool_itself(plant, monkeypatch):
    monkeypatch.setattr("proctool.keeping.tool", lambda: "another")
    assert plant.why() == [("proctool, Python or what they stand on",)]


def test_what_sets_text(plant, monkeypatch):
    card = {"formats": frozenset({"card"})}
    plant.why(**card)
    monkeypatch.setattr("proctool.sheets.sheets", lambda: "another")
    assert plant.why(**card) == [("setting of text on sheets",)]
