"""`proctool show`: the resolved steps and what is live at each."""

from tests.cli.plant import call, written


def show(folder, *changes, unit="F-1"):
    return call("show", "change-filter", unit, "--library", written(folder, *changes))


def test_each_step_with_its_id_and_what_changes(tmp_path):
    said = show(tmp_path)
    assert (said.code, said.err) == (0, "")
    paragraphs = said.out.split("\n\n")
    assert paragraphs[0].startswith(
        "Change the filter: F-1, Filter 1\nsafe; all orders: 1, states looked at: "
    )
    assert paragraphs[1] == "At the start: live: filter housing (water)"
    assert paragraphs[3].split("\n") == [
        "2. Close the inlet valve V1. Put your lock on the inlet valve V1.",
        "    make-safe/inlet/isolate-device",
        "    now trapped: filter housing (water)",
    ]
    assert paragraphs[4].endswith("now zero: filter housing (water)")
    assert "      If not: stop here. Leave the locks on. Call us." in paragraphs


def test_the_steps_of_an_otherwise_stand_under_their_check(tmp_path):
    out = show(tmp_path).out
    assert "      7.1. Fit a new housing O-ring.\n          ring/otherwise/fit-first\n" in out
    assert "      Then go on.\n" in out


def test_it_fits_80_columns(tmp_path):
    long = "Unscrew the <first> " + "very slowly and " * 12 + "with care."
    said = show(tmp_path, ("change-filter.yaml", "Unscrew the <first> with the <wrench>.", long))
    assert said.code == 0
    assert all(len(line) <= 80 for line in said.out.splitlines())


def test_free_steps_are_marked(tmp_path):
    look = "  - {do: Look around., id: look, after: []}\n"
    free = ("change-filter.yaml", "people:", look + "people:")
    assert "    look (in free order with others)" in show(tmp_path, free).out


def test_signs_made_plain_for_markup_show_as_written(tmp_path):
    said = show(tmp_path, ("units/f-base.yaml", "name: filter housing", "name: filter_housing *A*"))
    assert "Unscrew the filter_housing *A* with the strap wrench." in said.out


def test_an_unsafe_one_is_shown_and_told(tmp_path):
    said = show(tmp_path, ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew"))
    assert said.code == 1
    assert said.out.split("\n")[1].startswith("UNSAFE; ")


STORY = """\
    unscrew-first
    now zero: filter housing (water)
    error energy/opened-charged: The filter housing is opened with water still
    trapped in it.
      Let it out through a vent with a sure way to the part, or discharge it,
      after isolating. Open the relief button V4 before this step.
      water: trapped in the filter housing
      How it comes to that:
         1 Tell the line supervisor that the unit stops.
         2 Close the inlet valve V1. Put your lock on the inlet valve V1.
           · inlet valve V1 closed, locked
           · filter housing (water): live → trapped
         3 Shut the relief button V4.
         4 The inlet gauge P1 reads 0 bar (0 psi).
      >  5 Unscrew the filter housing with the strap wrench.
           · filter housing opened, leak check owed
           · filter housing (water): trapped → zero

"""


def test_the_story_of_a_fault_stands_under_the_step_that_breaks(tmp_path):
    assert STORY in show(tmp_path, ("blocks/make-safe.yaml", "- vent: way_out", "- shut: way_out")).out


def test_what_is_left_at_the_end_stands_at_the_end(tmp_path):
    out = show(
        tmp_path, ("change-filter.yaml", "    id: screw-on\n    close: first\n", "    id: screw-on\n")
    ).out
    assert "At the end:\n    error leak/left-open: At the end the filter housing still stands open.\n" in out


def test_one_that_cannot_be_resolved_shows_why(tmp_path):
    said = show(tmp_path, ("change-filter.yaml", "    open: first\n", "    open: frist\n"))
    assert said.code == 1
    assert "change-filter.yaml:9:11" in said.out and "`frist` is no part of this unit." in said.out


def test_a_unit_that_the_procedure_is_not_for(tmp_path):
    said = show(tmp_path, ("change-filter.yaml", "units: [F]", "units: [F-2]"))
    assert (said.code, said.out) == (2, "")
    assert said.err == "proctool: Procedure `change-filter` is not for unit `F-1`.\n"
