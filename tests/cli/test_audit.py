"""`proctool audit`: the matrix on disk, planted gaps at once, and what bad calls are told."""

import csv
import hashlib
import io
import json
import re

import pytest

from tests.cli.plant import call, written

TODAY = ("--today", "2026-06-01")
NO_LOCK = ("blocks/make-safe.yaml", "        lock: device\n", "")
TOO_EARLY = ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
INSPECTED = "inspections: [{date: 2026-05-20, by: A. Other, of: [B. Worker], unit: F-1 no. 3}]\n"


def audit(folder, *changes, more=(), **files):
    return call("audit", written(folder / "lib", *changes, **files), "--to", folder / "out", *TODAY, *more)


def data(folder):
    return json.loads((folder / "out" / "audit.json").read_text(encoding="utf-8"))


def rows(folder):
    return [row for case in data(folder)["cases"] for row in case["rows"]]


def marks(row):
    return {cell["aspect"]: cell["mark"] for cell in row["cells"]}


def test_a_clean_library_has_no_gap_and_three_files(tmp_path):
    said = audit(tmp_path)
    assert (said.code, said.err) == (0, "")
    assert "2 rows (opened part x energy) in 2 cases, 12 cells: no gaps." in said.out
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == ["audit.csv", "audit.html", "audit.json"]
    assert [marks(row) for row in rows(tmp_path)] == [
        dict.fromkeys(["isolated", "secured", "relieved", "verified", "restored", "leak-checked"], "yes")
    ] * 2


def test_a_planted_gap_is_shown_at_once(tmp_path):
    said = audit(tmp_path, NO_LOCK)
    assert said.code == 1
    first = said.out.split("\n\n")[1]
    assert " ".join(first.split()).startswith(
        "row 1, change-filter on F-1: filter housing, water: not secured: what holds it off is not locked"
    )
    assert first.endswith("And 1 more like it: change-filter on F-2.")
    assert marks(rows(tmp_path)[0])["secured"] == "no"
    page = (tmp_path / "out" / "audit.html").read_text(encoding="utf-8")
    gaps = page[page.index('<section id="gaps">') : page.index('<section id="matrix">')]
    assert gaps.count('class="gap-box"') == 1  # the block that both cases use lacks the lock
    assert gaps.count('<a href="#row-') == data(tmp_path)["gaps"] == 2
    assert "In 2 places." in gaps


def test_every_link_of_the_page_leads_somewhere(tmp_path):
    for change in ((), (TOO_EARLY,)):
        audit(tmp_path, *change)
        page = (tmp_path / "out" / "audit.html").read_text(encoding="utf-8")
        targets = re.findall(r'id="([^"]+)"', page)
        assert len(targets) == len(set(targets))
        assert set(re.findall(r'href="#([^"]+)"', page)) <= set(targets)


def test_what_could_not_be_resolved_is_a_gap_not_a_silence(tmp_path):
    said = audit(tmp_path, ("change-filter.yaml", "    close: first\n", "    close: fist\n"))
    assert said.code == 1
    assert "change-filter on F-1: could not be resolved" in " ".join(said.out.split())
    assert data(tmp_path)["gaps"] == 2
    page = (tmp_path / "out" / "audit.html").read_text(encoding="utf-8")
    assert "It could not be resolved for the unit: nothing is known of it." in page


def test_more_orders_than_the_budget_are_unknown(tmp_path):
    said = audit(tmp_path, more=("--budget", "5"))
    assert said.code == 1
    assert {mark for row in rows(tmp_path) for mark in marks(row).values()} == {"unknown"}


def test_a_unit_that_no_procedure_fits_is_told(tmp_path):
    lonely = "unit: G-1\ntitle: Other filter\nbased_on: f-base\nfamily: G\n"
    said = audit(tmp_path, units__g=lonely)
    assert said.code == 1
    assert "Units that no procedure fits: G-1." in said.out
    assert {u["unit"]: u["checked"] for u in data(tmp_path)["units"]}["G-1"] is None
    kinds = {(word["kind"], word["where"]) for word in data(tmp_path)["on_word"]}
    assert ("Nobody walked the unit with its file", "G-1") in kinds


def test_of_one_procedure_only_its_own_units_are_asked_for(tmp_path):
    lonely = "unit: G-1\ntitle: Other filter\nbased_on: f-base\nfamily: G\n"
    said = audit(tmp_path, more=("--procedure", "change-filter"), units__g=lonely)
    assert said.code == 0
    assert [unit["unit"] for unit in data(tmp_path)["units"]] == ["F-1", "F-2"]


@pytest.mark.parametrize(
    ("inspections", "day", "state", "due"),
    [
        ("", "2026-06-01", "not due yet", "2027-05-11"),
        ("", "2027-05-11", "due soon", "2027-05-11"),
        ("", "2027-05-12", "overdue", "2027-05-11"),
        (INSPECTED, "2027-05-12", "due soon", "2027-05-20"),
        (INSPECTED.replace("[B. Worker]", "[A. Other]"), "2027-05-12", "overdue", "2027-05-11"),
        (INSPECTED.replace("2026-05-20", "2028-01-01"), "2027-05-12", "overdue", "2027-05-11"),
    ],
)
def test_reviews_are_due_a_year_after_the_last_that_counts(tmp_path, inspections, day, state, due):
    library = written(tmp_path / "lib", ("change-filter.yaml", "people:", f"{inspections}people:"))
    call("audit", library, "--to", tmp_path / "out", "--today", day)
    (review,) = data(tmp_path)["reviews"]
    assert (review["state"], review["due"]) == (state, due)


def test_a_deviation_is_told_with_reason_person_and_end(tmp_path):
    granted = (
        "deviations: [{rule: energy/opened-unlocked, part: first, why: hasp on order, instead: stand guard,"
        " by: A. Boss, until: 2026-07-01}]\npeople:"
    )
    audit(tmp_path, NO_LOCK, ("change-filter.yaml", "people:", granted))
    (told,) = data(tmp_path)["deviations"]
    assert (told["why"], told["by"], told["until"], told["state"]) == (
        "hasp on order",
        "A. Boss",
        "2026-07-01",
        "valid",
    )
    assert marks(rows(tmp_path)[0])["secured"] == "no"


def test_lowered_rules_and_excuses_stand_among_what_is_on_word(tmp_path):
    audit(
        tmp_path,
        ("library.yaml", "language: en\n", "language: en\nlevels: {leak/no-duration: advice}\n"),
        ("units/f-base.yaml", "lock: hasp,", "exclusive_control: true,"),
    )
    assert data(tmp_path)["lowered"] == ["leak/no-duration"]
    said = {(word["kind"], word["about"]) for word in data(tmp_path)["on_word"]}
    assert said >= {
        ("Needs no lock", "inlet valve V1"),
        ("Feeds nothing back", "tap line"),
        ("No electricity near", "filter housing"),
    }


def test_the_sample_can_be_chosen_again_by_hand(tmp_path):
    audit(tmp_path, more=("--sample", "1", "--seed", "summer"))
    keys = {row["number"]: row["key"] for row in rows(tmp_path)}
    first = min(keys, key=lambda n: hashlib.sha256(f"summer:{keys[n]}".encode()).hexdigest())
    assert data(tmp_path)["sample"]["rows"] == [first]


def test_the_same_library_gives_the_same_files(tmp_path):
    audit(tmp_path)
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    audit(tmp_path)
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before


def test_no_cell_of_the_sheet_is_run_by_a_spreadsheet(tmp_path):
    evil = ("units/f-base.yaml", "name: filter housing", 'name: "=1+2 filter housing"')
    audit(tmp_path, evil, ("units/f-base.yaml", "name: inlet valve", 'name: "@inlet valve"'))
    text = (tmp_path / "out" / "audit.csv").read_bytes().decode()
    sheet = list(csv.reader(io.StringIO(text, newline="")))
    assert len({len(line) for line in sheet}) == 1
    assert "'=1+2 filter housing" in sheet[1]
    assert not [cell for line in sheet for cell in line if cell[:1] in {"=", "+", "-", "@", "\t", "\r"}]


def test_names_from_files_are_text_on_the_page(tmp_path):
    evil = ("units/f-base.yaml", "name: filter housing", 'name: "<script>alert(1)</script>"')
    audit(tmp_path, evil)
    page = (tmp_path / "out" / "audit.html").read_text(encoding="utf-8")
    assert page.count("<script>") == 1
    assert "alert(1)" in page


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--formats", "pdf"), "expected one or more of html, csv, json"),
        (("--unit", "F-9"), "There is no unit `F-9`"),
        (("--procedure", "change-filer"), "`change-filter`"),
        (("--seed", ""), "The seed of a sample is a word or a number."),
    ],
)
def test_a_wrong_call_is_told_what_would_be_right(tmp_path, more, told):
    said = audit(tmp_path, more=more)
    assert said.code == 2
    assert told in said.err
    assert "Traceback" not in said.err


def test_a_folder_that_cannot_be_written_to(tmp_path):
    (tmp_path / "out").write_text("a file", encoding="utf-8")
    said = audit(tmp_path)
    assert said.code == 2
    assert "Choose another folder with --to." in said.err


def test_it_fits_80_columns(tmp_path):
    assert max(map(len, audit(tmp_path, TOO_EARLY).out.splitlines()[:-3])) <= 80
