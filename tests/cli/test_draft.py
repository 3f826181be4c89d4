"""`proctool draft`: a file that passes the check, or what the unit lacks; wrong calls."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.plant import DEMO, call, written


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    """The small library."""
    return Path(written(tmp_path))


def draft(plant: Path, *args: str | Path):
    return call("draft", "F-1", *args, "--library", plant)


def test_it_is_printed_and_passes_the_check_in_the_library(plant: Path) -> None:
    said = draft(plant, "--open", "first")
    assert (said.code, said.err) == (0, "")
    assert said.out.startswith("procedure: open-first\ntitle: Open the filter housing\nunits: [F-1]\n")
    (plant / "open-first.yaml").write_text(said.out, encoding="utf-8")
    checked = call("check", plant)
    assert checked.code == 0
    assert checked.out.endswith("4 warnings; 3 of 3 proven safe.\n")


def test_it_is_written_into_a_file_and_never_over_one_without_a_word(plant: Path) -> None:
    file = plant / "drafts" / "renew.yaml"
    said = draft(plant, "--open", "first", "-o", file)
    assert (said.code, said.out) == (0, "")
    assert said.err.startswith(f"written  {file}\nNext: write the work into it, then proctool check {plant}")
    before = file.read_text(encoding="utf-8")
    assert before.startswith("procedure: renew\n")
    again = draft(plant, "--open", "button", "-o", file)
    assert (again.code, again.err) == (
        2,
        f"proctool: {file} is there already. Name another file, or replace it with --force.\n",
    )
    assert file.read_text(encoding="utf-8") == before
    forced = draft(plant, "--open", "button", "-o", file, "--force")
    assert forced.code == 0 and forced.err.startswith(f"replaced  {file}\n")
    assert call("check", plant).code == 0


def test_parts_are_named_by_id_or_tag_one_option_or_several(plant: Path) -> None:
    one = draft(plant, "--open", "first", "V4", "--name", "both")
    other = draft(plant, "--open", "first", "--open", "button", "--name", "both")
    assert one.code == 0 and one.out == other.out
    assert "opens: [first, button]\n" in one.out


def test_what_the_unit_lacks_is_told(plant: Path) -> None:
    said = draft(plant, "--open", "inlet")
    assert (said.code, said.out) == (1, "")
    assert said.err.splitlines() == [
        "The inlet valve V1 of F-1 cannot be opened safely, as units/f-1.yaml has the unit:",
        "- No isolator stands between the water main and the inlet valve V1 (water).",
        "If the unit has what is missing, write it into that file; if not, tell its maker.",
    ]


def test_blocks_of_the_library(plant: Path) -> None:
    """The small library has a block that makes safe, and none that brings back."""
    said = draft(plant, "--open", "first", "--blocks")
    assert (said.code, said.out) == (1, "")
    assert said.err.startswith("This library has no blocks that make safe and bring back")


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("--open", "fist"), "Unit F-1 has no part `fist`. Did you mean `first`?"),
        (("--open", "xylophone"), "Unit F-1 has no part `xylophone`. It has first."),
        (("--open", "supply"), "`supply`, the water main, feeds the unit and is no part to be opened."),
        (("--open", "first", "--name", "a b"), "`a b` is no name for a procedure"),
        (
            ("--open", "first", "--name", "Change-Filter"),
            "There is a procedure `change-filter` in change-filter.yaml.",
        ),
        (("--open", "first", "--way", "2"), "There is no way 2: only 1 is proven safe."),
    ],
)
def test_wrong_calls(plant: Path, args: tuple[str, ...], message: str) -> None:
    said = draft(plant, *args)
    assert said.code == 2 and said.out == ""
    assert message in said.err


def test_an_unknown_unit(plant: Path) -> None:
    said = call("draft", "F-3", "--open", "first", "--library", plant)
    assert said.code == 2 and "There is no unit `F-3` in this library. Did you mean `F-1`?" in said.err


def test_a_file_of_the_library_that_is_no_procedure_is_kept(plant: Path) -> None:
    said = draft(plant, "--open", "first", "-o", plant / "library.yaml", "--force")
    assert said.code == 2 and "library.yaml of this library is no procedure" in said.err


def test_a_unit_that_cannot_be_read(tmp_path: Path) -> None:
    plant = Path(written(tmp_path, ("units/f-1.yaml", "based_on: f-base", "based_on: f-bass")))
    said = draft(plant, "--open", "first")
    assert said.code == 1 and "`proctool check` says why" in said.err


def test_a_fault_of_the_unit_is_told_as_the_check_tells_it(tmp_path: Path) -> None:
    plant = Path(written(tmp_path, ("units/f-base.yaml", "place: left, ", "")))
    said = draft(plant, "--open", "first")
    assert said.code == 1
    assert "unit/isolator-unnamed" in said.out
    assert "No draft passes the check for the filter housing of F-1" in said.err


def test_a_fault_elsewhere_in_the_library_does_not_matter(tmp_path: Path) -> None:
    plant = Path(written(tmp_path, ("change-filter.yaml", "  - use: make-safe\n", "")))
    assert call("check", plant).code == 1
    assert draft(plant, "--open", "first").code == 0


def test_other_ways_are_told_and_written(tmp_path: Path) -> None:
    plant = tmp_path / "demo"
    shutil.copytree(DEMO, plant)
    bypass = (plant / "units/kw-2.yaml").read_text(encoding="utf-8").replace(
        "parts:\n", "parts:\n  house_valve: {role: isolator, device: valve, name: house valve, tag: V9,"
        " place: at the meter, lock: hasp, throttles: true}\n"
        "  meter: {role: component, name: water meter, near: []}\n",
    )  # fmt: skip
    bypass += (
        "lines:\n  main: {path: [supply, house_valve, meter, inlet_valve, strainer, strainer_screen, suction,"
        " first, first_insert, second, second_insert, outlet_pipe, tap_line]}\n"
    )
    (plant / "units/kw-2.yaml").write_text(bypass, encoding="utf-8")
    args = ("draft", "KW-2", "--open", "first", "--library", plant, "--alternatives", "1")
    said = call(*args)
    assert said.code == 0
    assert said.out.endswith(
        "# Other ways, proven safe as well; `--way` and the number writes one:\n"
        "# 2. house valve V9; without water: inlet strainer S1, inlet pipe, carbon housing, outlet pipe,"
        " filtered-water line,\n# water meter.\n"
    )
    other = call(*args, "--way", "2")
    assert "- isolate: house_valve" in other.out and "- isolate: inlet_valve" not in other.out
