"""`proctool slips`: what each slip would lead to, and the mark that the manuals take from it."""

import json

import pytest

from tests.cli.plant import call, written

UNSAFE = ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
SIGNED = ("library.yaml", "language: en\n", "language: en\nsecond_signature: critical\n")
LOOK = ("change-filter.yaml", "people:", "  - {do: Look around., id: look, after: []}\npeople:")


def slips(folder, *changes, more=()):
    return call("slips", "change-filter", "F-1", "--library", written(folder, *changes), *more)


def paragraph(out, number):
    """What is said of one main step."""
    (found,) = [p for p in out.split("\n\n") if p.removeprefix("CRITICAL  ").startswith(f"{number}. ")]
    return found.split("\n")


def test_each_step_with_its_slips(tmp_path):
    said = slips(tmp_path)
    assert (said.code, said.err) == (0, "")
    assert said.out.startswith("Change the filter: F-1, Filter 1\n")
    assert paragraph(said.out, 1) == [
        "1. Tell the line supervisor that the unit stops.",
        "    make-safe/tell",
        "    no slip here breaks anything",
    ]
    assert paragraph(said.out, 2) == [
        "2. Close the inlet valve V1. Put your lock on the inlet valve V1.",
        "    make-safe/inlet/isolate-device",
        "    skipped: caught by step 4, a check that fails then; else energy/opened-live",
        "        on filter housing",
    ]


def test_a_critical_step_is_marked_with_the_way_there(tmp_path):
    lines = paragraph(slips(tmp_path).out, 5)
    assert lines[0] == "CRITICAL  5. Unscrew the filter housing with the strap wrench."
    assert "    too early, before step 1 or 2: CRITICAL: energy/opened-live on filter" in lines
    assert "        housing. Done: 5." in lines
    assert lines[-4:-2] == [
        "    too early, before step 3: CRITICAL: energy/opened-charged on filter housing.",
        "        Done: 1, 2, 5.",
    ]


def test_the_count_stands_first(tmp_path):
    out = slips(tmp_path).out
    critical = sum(line.startswith("CRITICAL  ") for line in out.splitlines())
    steps = len(out.split("\n\n")) - 1
    assert critical > 1
    assert out.splitlines()[1].startswith(f"{critical} of {steps} steps are critical: ")


def test_it_fits_80_columns(tmp_path):
    assert all(len(line) <= 80 for line in slips(tmp_path).out.splitlines())


def test_json_has_its_documented_shape(tmp_path):
    said = slips(tmp_path, more=("--format", "json"))
    whole = json.loads(said.out)
    assert set(whole) == {"procedure", "unit", "steps"}
    assert (whole["procedure"], whole["unit"]) == ("change-filter", "F-1")
    for step in whole["steps"]:
        assert set(step) == {"step", "critical", "slips"}
        for slip in step["slips"]:
            assert set(slip) == {"kind", "before", "outcome", "rule", "part", "caught_by", "trace"}
            assert (slip["outcome"] == "harmless") is (slip["rule"] is None) is (slip["trace"] == [])
            assert (slip["outcome"] == "caught") is (slip["caught_by"] is not None)
            assert (slip["kind"] == "early") is (slip["before"] is not None)
    isolate = next(s for s in whole["steps"] if s["step"] == "make-safe/inlet/isolate-device")
    skip = isolate["slips"][0]
    assert skip["caught_by"] == {
        "kind": "check",
        "step": "make-safe/first/verify_zero-part",
        "part": "first",
        "rule": "energy/verified-charged",
    }
    assert skip["trace"][-1]["step"] == "unscrew-first"


def test_text_and_json_agree_on_what_is_critical(tmp_path):
    marked = [line for line in slips(tmp_path).out.splitlines() if line.startswith("CRITICAL  ")]
    whole = json.loads(slips(tmp_path, more=("--format", "json")).out)
    numbers = [i for i, step in enumerate(whole["steps"], start=1) if step["critical"]]
    assert [int(line.split()[1].rstrip(".")) for line in marked] == numbers


def test_a_free_step_has_no_earlier_places(tmp_path):
    whole = json.loads(slips(tmp_path, LOOK, more=("--format", "json")).out)
    look = next(s for s in whole["steps"] if s["step"] == "look")
    assert [slip["kind"] for slip in look["slips"]] == ["skipped", "twice"]


def test_what_is_not_proven_is_told_instead(tmp_path):
    said = slips(tmp_path, UNSAFE)
    assert said.code == 1
    assert "energy/opened-live" in said.out
    assert said.err == "Slips are shown of what is proven: mend this first.\n"


def test_a_small_budget_calls_nothing_harmless(tmp_path):
    said = slips(tmp_path, more=("--budget", "1"))
    assert said.code == 1  # the procedure itself is not proven within it
    assert "NOT PROVEN" in said.out


@pytest.mark.parametrize(
    ("names", "err"),
    [
        (("change-filte", "F-1"), "There is no procedure `change-filte` in this library."),
        (("change-filter", "F-9"), "There is no unit `F-9` in this library."),
    ],
)
def test_wrong_names(tmp_path, names, err):
    said = call("slips", *names, "--library", written(tmp_path))
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"proctool: {err}")


def test_a_unit_that_the_procedure_is_not_for(tmp_path):
    folder = written(tmp_path, ("change-filter.yaml", "units: [F]", "units: [F-2]"))
    said = call("slips", "change-filter", "F-1", "--library", folder)
    assert (said.code, said.err) == (2, "proctool: Procedure `change-filter` is not for unit `F-1`.\n")


# ---------------------------------------------------------------------------- the second signature


def built(folder, *changes):
    to = folder / "out"
    library = written(folder / "library", *changes)
    said = call("build", library, "--unit", "F-1", "--formats", "html", "--to", to)
    assert said.code == 0, said.out
    return (to / "change-filter" / "F-1.html").read_text(encoding="utf-8")


def test_the_manual_asks_for_a_second_signature_where_the_library_does(tmp_path):
    page = built(tmp_path, SIGNED)
    critical = json.loads(slips(tmp_path / "again", more=("--format", "json")).out)["steps"]
    many = sum(step["critical"] for step in critical)
    assert page.count("Critical step: ") == many
    assert page.count("Stop until a second person has looked and signed.") == many


def test_else_it_does_not(tmp_path):
    page = built(tmp_path)
    assert "Critical step" not in page and "second person" not in page


def test_any_other_word_is_a_fault_of_the_file(tmp_path):
    other = (SIGNED[0], SIGNED[1], "language: en\nsecond_signature: always\n")
    said = call("check", written(tmp_path, other))
    assert said.code == 1
    assert "library.yaml:3:19" in said.out and "`critical`" in said.out
