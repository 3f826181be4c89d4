"""`proctool adapt`: a procedure carried over to another unit, its open questions, and what it refuses."""

import json

import pytest

from proctool.cli import adapt as command
from tests.cli.plant import call, written

OTHER = """\
unit: G-1
title: Filter with a bypass
checked: {by: A. Nyone, date: 2026-06-01, drawing: G-1, serials: 1 and up}
energies:
  water:
    form: liquid_pressure
    normal: 6 bar
    safe: 0 bar
    warning:
      {word: warning, hazard: Water under pressure., harm: It can injure you., avoid: Open it only at 0 bar.}
parts:
  supply:  {role: source, name: water main}
  stop:    {role: isolator, device: valve, name: inlet valve, tag: V1, place: left, lock: hasp, throttles: true}
  bypass:  {role: isolator, device: valve, name: bypass valve, tag: V2, place: top, lock: hasp, throttles: true}
  housing: {role: component, name: strainer pot, seal: O-ring, near: [], cartridge: 5 micron cartridge}
  button:  {role: vent, name: relief button, tag: V4, place: on top, to: bucket}
  dial:
    {role: gauge, name: pot gauge, tag: P7, at: housing, energy: water, span: 10 bar, accuracy: 1.6 %,
      division: 0.1 bar, usual: 2 to 6 bar}
  tap:     {role: outlet, name: tap line, feeds_back: false, why: ends free above the sink}
lines:
  main: {energy: water, path: [supply, stop, housing, tap]}
  past: {energy: water, path: [supply, bypass, housing]}
  out:  {energy: water, path: [housing, button]}
"""
SETTLED = """\
adapt: change-filter
to: G-1
answers: {time: 15 min}
"""


def library(folder, *changes):
    return written(folder / "library", *changes, units__g_1=OTHER)


def adapt(folder, *changes, more=()):
    return call("adapt", "change-filter", "--to", "G-1", "--library", library(folder, *changes), *more)


def data(folder, *changes, more=()):
    return json.loads(adapt(folder, *changes, more=("--format", "json", *more)).out)


def drafted(folder):
    return (folder / "library" / "change-filter-g-1.yaml").read_text(encoding="utf-8")


def test_parts_are_taken_by_id_name_and_place(tmp_path):
    found = data(tmp_path)
    by = {part["part"]: (part["to"], part["by"]) for part in found["parts"]}
    assert by == {
        "first": ("housing", "role and place"),
        "button": ("button", "id"),
        "inlet": ("stop", "name and role"),
    }


def test_the_new_way_is_written_out_and_the_draft_isolates_it(tmp_path):
    said = adapt(tmp_path)
    assert "water: water main → bypass valve V2 → strainer pot; the draft isolates it by\n" in said.out
    (way,) = data(tmp_path / "again")["ways"]
    assert (way["isolators"], way["locked"]) == (["bypass"], True)


def test_a_way_that_is_not_isolated_is_asked_where_the_parts_stand(tmp_path):
    by_hand = (
        "blocks/make-safe.yaml",
        "  - each: {device: {isolators_of: opens}}\n    steps:\n      - isolate: device\n        lock: device\n",
        "  - isolate: V1\n    lock: V1\n",
    )
    said = adapt(tmp_path, by_hand)
    assert said.code == 1
    assert "NOT ISOLATED in the draft" in said.out
    text = drafted(tmp_path)
    at = text.index("\nopens: [housing]")
    assert "# OPEN way to housing: This way is not isolated in the draft: water: water main" in text[:at]
    assert "# OPEN energy/opened-live: " in text


def test_the_draft_is_the_file_with_its_parts_renamed(tmp_path):
    adapt(tmp_path)
    lines = [line for line in drafted(tmp_path).splitlines() if not line.lstrip().startswith("#")]
    assert lines[:5] == [
        "procedure: change-filter-g-1",
        "title: Change the filter",
        "units: [G-1]",
        "time: 10 min",
        "opens: [housing]",
    ]
    assert "  - do: Unscrew the <housing> with the <wrench>." in lines
    assert "    open: housing" in lines
    assert not any("first" in line for line in lines)


def test_every_open_question_is_a_comment_and_a_finding(tmp_path):
    found = data(tmp_path)
    lines = found["draft"].splitlines()
    assert drafted(tmp_path) == found["draft"]
    assert {q["name"] for q in found["questions"]} >= {"time"}
    asked = [f for f in found["findings"] if f["rule"] == "adapt/open-question"]
    assert len(asked) == len(found["questions"])
    for finding in asked:
        assert lines[finding["line"] - 1].lstrip().startswith("# OPEN ")


def test_what_a_check_finds_stands_at_its_line(tmp_path):
    typo = ("change-filter.yaml", "    close: first", "    close: frist")
    (found,) = [f for f in data(tmp_path, typo)["findings"] if "frist" in f["message"]]
    line = drafted(tmp_path).splitlines()[found["line"] - 1]
    assert line.strip() == "close: frist"


def test_comments_change_nothing(tmp_path):
    """What the file says with its comments, it says without them."""
    with_them = library(tmp_path)
    call("adapt", "change-filter", "--to", "G-1", "--library", with_them)
    plain = "".join(
        line for line in drafted(tmp_path).splitlines(keepends=True) if not line.lstrip().startswith("#")
    )
    first = json.loads(call("check", with_them, "--procedure", "change-filter-g-1", "--format", "json").out)
    (with_them / "change-filter-g-1.yaml").write_text(plain, encoding="utf-8")
    other = json.loads(call("check", with_them, "--procedure", "change-filter-g-1", "--format", "json").out)
    assert first["verdicts"] == other["verdicts"]
    assert [f["message"] for f in first["findings"]] == [f["message"] for f in other["findings"]]


def test_answers_settle_it(tmp_path):
    answers = tmp_path / "answers.yaml"
    answers.write_text(SETTLED, encoding="utf-8")
    said = adapt(tmp_path, more=("--answers", answers))
    assert (said.code, said.err) == (0, ""), said.out
    assert "time: 15 min" in drafted(tmp_path)
    checked = call("check", tmp_path / "library", "--procedure", "change-filter-g-1")
    assert checked.code == 0, checked.out


def test_a_part_that_is_gone_takes_its_steps_out_as_comments(tmp_path):
    answers = tmp_path / "answers.yaml"
    answers.write_text(SETTLED.replace("{time", "{part button: none, time"), encoding="utf-8")
    adapt(tmp_path, more=("--answers", answers))
    text = drafted(tmp_path)
    assert "  # G-1 has no relief button V4:\n" in text
    assert "#   - do: Shut the <button>." in text
    assert "\n    shut: button" not in text


def test_an_open_part_is_asked_with_what_it_could_be(tmp_path):
    """Two housings with the same place: nothing tells which one is meant."""
    twin = OTHER.replace("  button: ", "  twin: {role: component, name: second pot, near: []}\n  button: ")
    twin = twin.replace("path: [supply, stop, housing, tap]", "path: [supply, stop, housing, twin, tap]")
    twin = twin.replace("path: [housing, button]", "path: [housing, button, twin]").replace("at: housing", "at: twin")
    twin = twin.replace("path: [supply, bypass, housing]", "path: [supply, bypass, twin]")
    folder = written(tmp_path / "library", units__g_1=twin)
    said = call("adapt", "change-filter", "--to", "G-1", "--library", folder, "--format", "json")
    found = json.loads(said.out)
    (question,) = [q for q in found["questions"] if q["name"] == "part first"]
    assert said.code == 1 and question["blocking"]
    assert question["choices"] == ["housing", "twin", "none"]
    assert found["verdicts"][0]["verdict"] == "unproven"


def test_what_was_granted_for_another_unit_is_not_taken_over(tmp_path):
    granted = (
        "change-filter.yaml",
        "people:",
        "deviations:\n  - {rule: content/no-time, part: first, why: w, instead: i, by: b, until: 2027-01-01}\npeople:",
    )
    found = data(tmp_path, granted)
    assert "\ndeviations:" not in found["draft"]
    assert "deviations" in {q["name"] for q in found["questions"]}


def test_a_terminal_is_asked(tmp_path, monkeypatch):
    monkeypatch.setattr(command, "_on_terminal", lambda: True)
    asked = []
    monkeypatch.setattr(command, "_ask", lambda q: asked.append(q.name) or {"time": "20 min"}.get(q.name, ""))
    adapt(tmp_path)
    assert "time" in asked and len(asked) == len(set(asked))
    assert "time: 20 min" in drafted(tmp_path)


def test_nothing_is_written_over(tmp_path):
    adapt(tmp_path)
    again = call("adapt", "change-filter", "--to", "G-1", "--library", tmp_path / "library")
    assert again.code == 2
    assert "There is a procedure `change-filter-g-1` already." in again.err
    taken = tmp_path / "taken.yaml"
    taken.write_text("mine", encoding="utf-8")
    said = adapt(tmp_path / "b", more=("--output", taken))
    assert said.code == 2 and "is there already" in said.err
    assert taken.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("args", "err"),
    [
        (("change-filte", "--to", "G-1"), "There is no procedure `change-filte` in this library. Did you mean"),
        (("change-filter", "--to", "G-2"), "There is no unit `G-2` in this library. Did you mean `G-1`?"),
        (("change-filter", "--to", "G-1", "--from", "G-1"), "Procedure `change-filter` is not for `G-1`; it is for F-1"),
    ],
)
def test_what_is_not_there(tmp_path, args, err):
    said = call("adapt", *args, "--library", library(tmp_path))
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"proctool: {err}")


@pytest.mark.parametrize(
    ("text", "err"),
    [
        (SETTLED.replace("G-1", "G-7"), "answers.yaml:2:5: these answers are for G-7, not for G-1."),
        (SETTLED.replace("change-filter", "look"), "answers.yaml:1:8: these answers are for look, not for change"),
        (SETTLED.replace("time", "tme"), "The answer `tme` is to no question of this procedure. Did you mean `time`?"),
        (SETTLED.replace("time: 15 min", "part first: husing"), "The answer `part first: husing`: G-1 has no part"),
        (SETTLED.replace("time: 15 min", "part frist: none"), "The answer `part frist`: F-"),
        (SETTLED.replace("time: 15 min", "part first: none"), "`change-filter` opens filter housing, and G-1 has"),
        (SETTLED.replace("to:", "too:"), "answers.yaml:2:1: `too` is no key here. Did you mean `to`?"),
        (SETTLED.replace("{time: 15 min}", "[a]"), "answers.yaml:3:10: `answers` is no map of answers by names."),
        ("", "answers.yaml:1:1: The file is empty"),
        ("[", "answers.yaml:1:"),
        ("\0", "answers.yaml:1:1: "),
    ],
)
def test_answers_that_do_not_fit(tmp_path, text, err):
    answers = tmp_path / "answers.yaml"
    answers.write_text(text, encoding="utf-8")
    said = adapt(tmp_path, more=("--answers", answers))
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"proctool: {err}"), said.err


def test_it_fits_80_columns(tmp_path):
    assert all(len(line) <= 80 for line in adapt(tmp_path).out.splitlines())
