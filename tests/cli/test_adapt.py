"""`proctool adapt`: a procedure carried over to another unit, its open questions, and what it refuses."""

import json
import shutil
from pathlib import Path

import pytest

from proctool.cli import adapt as command
from tests.cli.plant import DEMO, call, written

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
  stop:
    {role: isolator, device: valve, name: inlet valve, tag: V1, place: left, lock: hasp, throttles: true}
  bypass:
    {role: isolator, device: valve, name: bypass valve, tag: V2, place: top, lock: hasp, throttles: true}
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
answers: {time: 15 min, revision by: A. Nyone, revision date: 2026-06-02}
"""
KW_8 = """\
adapt: change-cartridges
to: KW-8
answers:
  number: FP-KB-101
  time: 50 min
  revision by: M. Osei
  revision date: 2026-11-25
  tag V7: V8
  tag P2: P6
"""
BACK = """\
  - each: {device: {isolators_of: opens}}
    id: fill
    steps: [unlock: device, throttle: device]
  - each: {device: {isolators_of: opens}}
    id: supply
    steps: [restore: device]
"""


BY_HAND = """\
  - do: Take your lock off the <inlet>.
    id: lock-off
    unlock: inlet
  - do: Open the <inlet> a quarter turn.
    id: fill
    throttle: inlet
  - do: Open the <inlet> fully.
    id: supply
    restore: inlet
"""
ISOLATE = "      - isolate: device\n        lock: device\n"
DEVIATION = """\
deviations:
  - {rule: content/no-time, part: first, why: w, instead: i, by: b, until: 2027-01-01}
"""
GENERAL = ("change-filter.yaml", BY_HAND, BACK)


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
    said = " ".join(adapt(tmp_path).out.split())
    way = "water: water main → bypass valve V2 → strainer pot"
    assert f"{way}; the draft isolates it by bypass valve V2, locked" in said
    (way,) = data(tmp_path / "again")["ways"]
    assert (way["isolators"], way["locked"]) == (["bypass"], True)


def test_a_way_that_is_not_isolated_is_asked_where_the_parts_stand(tmp_path):
    by_hand = (
        "blocks/make-safe.yaml",
        "  - each: {device: {isolators_of: opens}}\n    steps:\n" + ISOLATE,
        "  - isolate: V1\n    lock: V1\n",
    )
    said = adapt(tmp_path, by_hand)
    assert said.code == 1
    assert "NOT ISOLATED in the draft" in " ".join(said.out.split())
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
    said = adapt(tmp_path, GENERAL, more=("--answers", answers))
    assert (said.code, said.err) == (0, ""), said.out
    assert "time: 15 min" in drafted(tmp_path)
    checked = call("check", tmp_path / "library", "--procedure", "change-filter-g-1")
    assert checked.code == 0, checked.out


PICKED = """\
  - each: {device: {isolators_of: opens}}
    only: {refills: true}
    id: fill
    steps: [unlock: device, throttle: device]
  - each: {device: {isolators_of: opens}}
    only: {refills: true}
    id: supply
    steps: [restore: device]
"""
REFILLS = ("units/f-base.yaml", "tag: V1, place: left,", "tag: V1, refills: true, place: left,")


def test_what_steps_pick_isolators_by_is_asked_where_the_other_unit_does_not_say_it(tmp_path):
    found = data(tmp_path, ("change-filter.yaml", BY_HAND, PICKED), REFILLS)
    asked = {q["name"]: q for q in found["questions"] if q["name"].startswith("refills")}
    assert set(asked) == {"refills of stop", "refills of bypass"}
    assert asked["refills of bypass"]["blocking"]
    text = asked["refills of bypass"]["text"]
    assert text.startswith(
        "`refills` of the bypass valve V2? Steps pick devices by it (`true`: `fill`, `supply`)."
    )
    assert "Say it of `bypass` in units/g_1.yaml." in text


def test_what_the_other_unit_says_itself_is_not_asked(tmp_path):
    other = OTHER.replace("lock: hasp, throttles: true", "lock: hasp, throttles: true, refills: true")
    folder = written(tmp_path / "library", ("change-filter.yaml", BY_HAND, PICKED), REFILLS, units__g_1=other)
    said = call("adapt", "change-filter", "--to", "G-1", "--library", folder, "--format", "json")
    found = json.loads(said.out)
    assert not [q for q in found["questions"] if q["name"].startswith("refills")]
    assert found["verdicts"][0]["verdict"] == "safe"


def test_questions_come_first_with_the_names_of_their_answers_and_findings_once(tmp_path):
    said = adapt(tmp_path).out
    open_ones = said[said.index("\nOpen\n") : said.index("\nParts, and")]
    assert "[answer: time]" in open_ones
    assert open_ones.index("[answer: time]") < open_ones.index("[energy/lock-left")
    rules = [line.strip() for line in open_ones.splitlines() if "[energy/lock-left" in line]
    assert len(rules) == 1
    assert "adapt/open-question" not in said


def test_a_draft_is_made_anew_only_when_told(tmp_path):
    adapt(tmp_path)
    answers = tmp_path / "answers.yaml"
    answers.write_text(SETTLED, encoding="utf-8")
    more = ("--to", "G-1", "--library", tmp_path / "library", "--answers", answers)
    assert "There is a procedure `change-filter-g-1` already." in call("adapt", "change-filter", *more).err
    again = call("adapt", "change-filter", *more, "--force")
    assert again.err == ""
    assert "time: 15 min" in drafted(tmp_path)
    own = call("adapt", "change-filter", *more, "--force", "--name", "change-filter")
    assert "There is a procedure `change-filter` already." in own.err


def test_a_part_that_is_gone_takes_its_steps_out_as_comments(tmp_path):
    answers = tmp_path / "answers.yaml"
    answers.write_text(SETTLED.replace("{time", "{part button: none, time"), encoding="utf-8")
    adapt(tmp_path, more=("--answers", answers))
    text = drafted(tmp_path)
    assert "  # G-1 has no relief button V4:\n" in text
    assert "#   - do: Shut the <button>." in text
    assert "\n    shut: button" not in text
    assert "# OPEN without button: G-1 has no relief button V4, so steps that name it are comments" in text


def test_lists_with_dashes_are_rewritten_too(tmp_path):
    dashes = [
        ("change-filter.yaml", "units: [F]", "units:\n- F"),
        ("change-filter.yaml", "opens: [first]", "opens:\n- first\n- button"),
    ]
    answers = tmp_path / "answers.yaml"
    answers.write_text(SETTLED.replace("{time", "{part button: none, time"), encoding="utf-8")
    found = data(tmp_path, *dashes, more=("--answers", answers))
    assert "units:\n [G-1]\n" in found["draft"] and "opens:\n [housing]\n" in found["draft"]
    assert not any(f["rule"].startswith("file/") for f in found["findings"])


def test_lines_that_end_otherwise(tmp_path):
    folder = library(tmp_path)
    path = folder / "change-filter.yaml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    call("adapt", "change-filter", "--to", "G-1", "--library", folder)
    assert b"\r" not in (folder / "change-filter-g-1.yaml").read_bytes()


def test_what_the_way_back_forgets_is_found(tmp_path):
    """The procedure takes the lock off one valve by name; the other unit has two."""
    said = adapt(tmp_path)
    assert said.code == 1
    assert "energy/lock-left" in said.out and "energy/not-restored" in said.out


def test_a_step_that_a_when_leaves_out_is_asked(tmp_path):
    only = ("change-filter.yaml", "    id: renew\n", "    id: renew\n    when: {family: F}\n")
    (question,) = [q for q in data(tmp_path, only)["questions"] if q["name"].startswith("step ")]
    assert question["name"] == "step renew"
    assert "Not on G-1: “Put in a new 5 micron cartridge.”" in question["text"]


def test_an_open_part_is_asked_with_what_it_could_be(tmp_path):
    """Two housings with the same place: nothing tells which one is meant."""
    twin = OTHER.replace("  button: ", "  twin: {role: component, name: second pot, near: []}\n  button: ")
    twin = twin.replace("path: [supply, stop, housing, tap]", "path: [supply, stop, housing, twin, tap]")
    twin = twin.replace("path: [housing, button]", "path: [housing, button, twin]").replace(
        "at: housing", "at: twin"
    )
    twin = twin.replace("path: [supply, bypass, housing]", "path: [supply, bypass, twin]")
    folder = written(tmp_path / "library", units__g_1=twin)
    said = call("adapt", "change-filter", "--to", "G-1", "--library", folder, "--format", "json")
    found = json.loads(said.out)
    (question,) = [q for q in found["questions"] if q["name"] == "part first"]
    assert said.code == 1 and question["blocking"]
    assert question["choices"] == ["housing", "twin", "none"]
    assert found["verdicts"][0]["verdict"] == "unproven"


def test_a_part_that_only_another_unit_has_need_not_be_settled(tmp_path):
    """Its steps are left out by their `when`, so the draft is proven without it."""
    cooler = ("units/f-base.yaml", "  tap: ", "  cooler: {role: store, name: cooler, near: []}\n  tap: ")
    step = (
        "change-filter.yaml",
        "  - do: Put in",
        "  - do: Look at the <cooler>.\n    when: {fitted: cooler}\n  - do: Put in",
    )
    found = data(tmp_path, GENERAL, cooler, step)
    (question,) = [q for q in found["questions"] if q["name"] == "part cooler"]
    assert not question["blocking"]
    assert found["verdicts"][0]["verdict"] == "safe"


def test_a_name_that_means_another_part_there_is_never_taken_for_it(tmp_path):
    other = OTHER.replace(
        "  button: ", "  first: {role: vent, name: drain, tag: V8, place: below, to: bucket}\n  button: "
    )
    other = other.replace("path: [housing, button]", "path: [housing, button, first]")
    folder = written(
        tmp_path / "library",
        ("units/f-base.yaml", "main: {", "x: {energy: water, path: [first, tap]}\n  main: {"),
        units__g_1=other,
    )
    found = json.loads(
        call("adapt", "change-filter", "--to", "G-1", "--library", folder, "--format", "json").out
    )
    (part,) = [p for p in found["parts"] if p["part"] == "first"]
    assert part["to"] == "housing"


def test_what_was_granted_for_another_unit_is_not_taken_over(tmp_path):
    granted = (
        "change-filter.yaml",
        "people:",
        DEVIATION + "people:",
    )
    found = data(tmp_path, granted)
    assert "\ndeviations:" not in found["draft"]
    assert "deviations" in {q["name"] for q in found["questions"]}


def test_a_terminal_is_asked(tmp_path, monkeypatch):
    monkeypatch.setattr(command, "_on_terminal", lambda: True)
    asked: list[str] = []

    def answer(question):
        asked.append(question.name)
        return {"time": "20 min"}.get(question.name, "")

    monkeypatch.setattr(command, "_ask", answer)
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
        (
            ("change-filte", "--to", "G-1"),
            "There is no procedure `change-filte` in this library. Did you mean",
        ),
        (("change-filter", "--to", "G-1", "--name", "../x"), "`../x` is no name; expected letters"),
        (("change-filter", "--to", "G-1", "--name", "library"), "There is a file library.yaml already."),
        (("change-filter", "--to", "G-2"), "There is no unit `G-2` in this library. Did you mean `G-1`?"),
        (
            ("change-filter", "--to", "G-1", "--from", "G-1"),
            "Procedure `change-filter` is not for `G-1`; it is for F-1",
        ),
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
        (
            SETTLED.replace("change-filter", "look"),
            "answers.yaml:1:8: these answers are for look, not for change",
        ),
        (
            SETTLED.replace("time", "tme"),
            "The answer `tme` is to no question of this procedure. Did you mean `time`?",
        ),
        (
            SETTLED.replace("time: 15 min", "part first: husing"),
            "The answer `part first: husing`: G-1 has no part",
        ),
        (SETTLED.replace("time: 15 min", "part frist: none"), "The answer `part frist`: F-"),
        (
            SETTLED.replace("time: 15 min", "part first: none"),
            "`change-filter` opens filter housing, and G-1 has",
        ),
        (SETTLED.replace("to:", "too:"), "answers.yaml:2:1: `too` is no key here. Did you mean `to`?"),
        (
            SETTLED.replace("{time: 15 min, revision by: A. Nyone, revision date: 2026-06-02}", "[a]"),
            "answers.yaml:3:10: `answers` is no map of answers by names.",
        ),
        ("", "answers.yaml:1:1: The file is empty"),
        ("[", "answers.yaml:1:"),
        ("\0", "answers.yaml:1:1: "),
        ("# " + "x" * 1_048_576, "answers.yaml:1:1: The file is larger than 1024 KiB; split it."),
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


def test_a_new_model_of_the_demo_library(tmp_path):
    """From a unit file to a proven procedure, with nothing but answers."""
    folder = tmp_path / "procedures"
    shutil.copytree(DEMO, folder)
    shutil.copy(Path(__file__).with_name("kw-8.yaml"), folder / "units")
    answers = tmp_path / "answers.yaml"
    answers.write_text(KW_8, encoding="utf-8")
    said = call("adapt", "change-cartridges", "--to", "KW-8", "--library", folder, "--answers", answers)
    assert said.code == 0, said.out
    assert "bypass valve V9" in said.out
    checked = call(
        "check", folder, "--procedure", "change-cartridges-kw-8", "--unit", "KW-8", "--format", "json"
    )
    whole = json.loads(checked.out)
    assert [v["verdict"] for v in whole["verdicts"]] == ["safe"]
    text = (folder / "change-cartridges-kw-8.yaml").read_text(encoding="utf-8")
    assert "opens: [pre_filter, pre_insert, second, second_insert, outlet_pipe]" in text
    assert "# One housing after the other, or turn about." in text
