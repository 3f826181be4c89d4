"""`proctool new unit` and `proctool new procedure`: what they write passes check at once."""

import json
import os
import pty
import shutil
import subprocess
import sys

import pytest

from proctool.api import open_library
from tests.cli.plant import DEMO, call, written

ROW = (
    "--title", "Pump skid", "--fluid", "water", "--form", "liquid_pressure", "--normal", "4.0 bar",
    "--supply", "water main, valve V1 at the wall", "--machine", "booster pump, plug X1 behind it",
    "--part", "sediment housing, vent V2, gauge P1", "--part", "carbon housing, vent V3",
    "--outlet", "tap line, free ends above a sink",
)  # fmt: skip


@pytest.fixture
def library(tmp_path):
    return shutil.copytree(DEMO, tmp_path / "library")


def checked(library):
    """The errors of the whole library, and the verdicts by procedure and unit."""
    report = json.loads(call("check", library, "--format", "json").out)
    errors = [finding for finding in report["findings"] if finding["level"] == "error"]
    return errors, {(v["procedure"], v["unit"]): v["verdict"] for v in report["verdicts"]}


class TestUnit:
    def test_a_row_of_parts_and_a_procedure_on_it(self, library):
        said = call("new", "unit", "ZZ-1", "--library", library, *ROW)
        path = library / "units" / "zz-1.yaml"
        assert (said.code, said.err) == (0, "")
        assert said.out == f"written  {path}\nNext: proctool show ZZ-1 --library {library}\n"
        assert call("show", "ZZ-1", "--library", library).code == 0
        said = call("new", "procedure", "change-both", "--library", library, "--unit", "ZZ-1",
                    "--title", "Change both filters", "--open", "sediment_housing",
                    "--open", "carbon_housing")  # fmt: skip
        assert (said.code, said.err) == (0, "")
        assert (
            (library / "change-both.yaml")
            .read_text()
            .startswith("procedure: change-both\ntitle: Change both filters\n")
        )
        errors, verdicts = checked(library)
        assert not errors
        assert verdicts["change-both", "ZZ-1"] == "safe"

    def test_no_device_is_there_that_was_not_told(self, library):
        bare = [*ROW[:8], "--supply", "main", "--part", "bowl", "--outlet", "line"]
        assert call("new", "unit", "ZZ-2", "--library", library, *bare).code == 0
        text = (library / "units" / "zz-2.yaml").read_text()
        assert not [word for word in ("isolator", "vent", "gauge", "feeds_back") if f"role: {word}" in text]
        shown = call("show", "ZZ-2", "--library", library).out
        assert "No isolator stands between the main and line and the bowl (water)." in shown
        said = call("new", "procedure", "look-in", "--library", library, "--unit", "ZZ-2",
                    "--title", "Look in", "--open", "bowl")  # fmt: skip
        assert said.code == 1
        assert "cannot be opened safely" in said.err
        assert not (library / "look-in.yaml").exists()

    def test_one_on_a_base_takes_over_its_procedures_or_is_not_written(self, library):
        on = ("new", "unit", "KW-8", "--library", library, "--title", "Skid with bypass", "--on", "kw-pumped")
        refused = call(*on)
        path = library / "units" / "kw-8.yaml"
        assert refused.code == 1
        assert "`volume` is no name that is known here" in refused.out
        assert "units/kw-8.yaml is not written" in refused.err
        assert not path.exists()
        assert call(*on, "--fact", "volume=14 L").code == 0
        errors, verdicts = checked(library)
        assert not errors
        assert verdicts["change-cartridges", "KW-8"] == "safe"

    @pytest.mark.parametrize(
        ("change", "told"),
        [
            (("water main, valve V1 at the wall", "water main, valve V1"), "expected its tag and its place"),
            (("water main, valve V1 at the wall", "water main, vale V1 at"), "expected each of valve"),
            (("water main, valve V1 at the wall", "7, valve V1 at"), "has no name"),
            (("tap line, free ends above a sink", "tap line, free"), "say why nothing comes back"),
        ],
    )
    def test_wrong_parts(self, library, change, told):
        said = call(
            "new", "unit", "ZZ-3", "--library", library, *(change[1] if a == change[0] else a for a in ROW)
        )
        assert (said.code, said.out) == (2, "")
        assert told in said.err

    @pytest.mark.parametrize(
        ("names", "told"),
        [
            (("KW-4", *ROW), "There is a unit `KW-4` in this library"),
            (("kw-4", *ROW), "There is a unit `KW-4` in this library"),
            (("a/b", *ROW), "`a/b` is no name for a unit"),
            (("ZZ-1", *ROW[2:]), "--title is missing"),
            (("ZZ-1", "--title", "A", "--on", "kw-bse"), "Did you mean `kw-base`?"),
            (("ZZ-1", "--title", "A", "--on", "kw-base", "--fact", "x"), "--fact: found `x`"),
        ],
    )
    def test_wrong_calls(self, library, names, told):
        said = call("new", "unit", *names, "--library", library)
        assert (said.code, said.out) == (2, "")
        assert told in said.err


JOINED = (
    "--title", "Skid with bypass and tanks", "--on", "kw-pumped", "--family", "ZZ", "--fact", "volume=12 L",
)  # fmt: skip
BYPASS = ("--bypass", "bypass, from supply, to outlet pipe, valve V9 on top")
TANKS = (
    "--tank", "first tank, at outlet_pipe, valve V11 below, air A1, gauge P7",
    "--tank", "second tank, at outlet_pipe, valve V12 below, air A2 at its end",
)  # fmt: skip


def joined(library, *more):
    return call("new", "unit", "ZZ-9", "--library", library, *JOINED, *more)


def unit(library):
    return open_library(library).units.whole["ZZ-9"]


class TestJoined:
    """Bypasses and tanks, on a base or on a row."""

    def test_a_bypass_runs_between_two_parts_through_its_valve(self, library):
        assert joined(library, *BYPASS).code == 0
        found = unit(library)
        assert found.lines["bypass"].path == ("supply", "bypass_valve", "outlet_pipe")
        assert found.lines["bypass"].energies == ("water",)
        assert (found.parts["bypass_valve"].tag, found.parts["bypass_valve"].text("place")) == (
            "V9",
            "on top",
        )

    def test_a_bypass_without_a_valve_leaves_nothing_that_can_be_opened_safely(self, library):
        said = joined(library, "--bypass", "bypass, from supply, to outlet_pipe")
        assert said.code == 0
        assert "Cannot be opened safely as it is told: inlet strainer S1," in said.out
        assert "housing" not in joined(library, *BYPASS, "--force").out

    def test_a_tank_keeps_its_water_until_its_air_is_out(self, library):
        assert joined(library, *TANKS).code == 0
        found = unit(library)
        assert found.energies["air"].normal == found.energies["water"].normal
        for tank in ("first_tank", "second_tank"):
            assert found.parts[tank].keeps == {"water"}
            assert found.parts[tank].near == ("motor",)
            assert found.lines[f"{tank}_charge"].path == (f"{tank}_air_valve", tank)
        assert found.parts["first_tank_gauge"].at == "first_tank"
        assert "second_tank_gauge" not in found.parts
        assert found.parts["second_tank_air_valve"].text("place") == "at its end"

    def test_both_join_a_row_too(self, library):
        by_name = ("--bypass", "way round, from water main, to carbon housing, valve V8 on top", "--tank",
                   "tank, at carbon housing, valve V9 below, air A1")  # fmt: skip
        assert call("new", "unit", "ZZ-9", "--library", library, *ROW, *by_name).code == 0
        found = unit(library)
        assert found.lines["way_round"].path == ("water_main", "way_round_valve", "carbon_housing")
        assert found.parts["tank"].near == ("booster_pump",)
        assert not checked(library)[0]

    def test_more_is_said_of_parts_of_the_base_and_of_new_ones(self, library):
        more = ("--property", "first_tank.volume=24 L", "--property", "motor.place=below", "--property",
                "first_tank.leaves_in={water: 2 min}", "--property", "first_tank.near=[]")  # fmt: skip
        assert joined(library, *TANKS, *more).code == 0
        parts = unit(library).parts
        assert parts["first_tank"].text("volume") == "24 L"
        assert parts["first_tank"].near == ()
        assert parts["motor"].text("place") == "below"
        assert parts["motor"].runs == "mains"

    @pytest.mark.parametrize(
        ("more", "told"),
        [
            (
                ("--bypass", "bypass, from suply, to outlet_pipe"),
                "ZZ-9 has no part `suply`. Did you mean `supply`?",
            ),
            (
                ("--bypass", "bypass, to outlet_pipe"),
                "does not say `from`; expected such as `from inlet_pipe`",
            ),
            (
                ("--bypass", "bypass, from supply, to socket"),
                "nothing that a pipe can carry runs through both",
            ),
            (
                ("--bypass", "bypass, from supply, to V7, vale V9 on top"),
                "expected each of from, to, valve at most",
            ),
            (("--bypass", "loop, from suction, to inlet pipe"), "it ends where it begins, at the inlet pipe"),
            (("--tank", "tank, at outlet_pipe"), "does not say `air`; expected such as `air A1`"),
            (
                ("--bypass", "bypass, from V1, to outlet_pipe, valve V9 on top"),
                "Nothing can be joined at the inlet valve V1: name the part before or behind it.",
            ),
            (("--tank", "tank, at sample tap, air A1"), "Nothing can be joined at the sample tap V7"),
            (("--tank", "tank, at socket, air A1"), "no liquid under pressure runs through the wall socket"),
            (
                ("--bypass", "main, from supply, to outlet_pipe"),
                "ZZ-9 has a line `main` already: choose another",
            ),
            (("--tank", "motor, at outlet_pipe, air A1"), "ZZ-9 has a part `motor` already: choose another"),
            ((*TANKS, "--tank", "First Tank, at suction, air A3"), "has a part `first_tank` already"),
            ((*BYPASS, *BYPASS), "ZZ-9 has a part `bypass_valve` already: choose another name"),
            (("--property", "moter.place=below"), "ZZ-9 has no part `moter`. Did you mean `motor`?"),
            (("--property", "motor=below"), "--property: found `motor=below`; expected a part, `.`, a name"),
        ],
    )
    def test_what_does_not_fit_is_not_written(self, library, more, told):
        said = joined(library, *more)
        assert (said.code, said.out) == (2, "")
        assert told in said.err
        assert not (library / "units" / "zz-9.yaml").exists()

    def test_a_wrong_value_is_found_by_the_check(self, library):
        said = joined(library, *TANKS, "--property", "first_tank.near=[nothing]")
        assert said.code == 1
        assert "`nothing`" in said.out
        assert not (library / "units" / "zz-9.yaml").exists()

    def test_a_file_is_written_anew_only_when_told(self, library):
        assert joined(library).code == 0
        again = joined(library, *BYPASS)
        assert again.code == 2
        assert "There is a unit `ZZ-9` in this library" in again.err
        assert joined(library, *BYPASS, "--force").code == 0
        assert "bypass" in unit(library).lines
        other = call("new", "unit", "zz-9", "--library", library, *JOINED, "--force")
        assert other.code == 2


class TestProcedure:
    def test_one_that_opens_nothing(self, tmp_path):
        library = written(tmp_path)
        steps = ("--step", "Look at the <first>.", "--step", "Look at the floor.")
        said = call(
            "new", "procedure", "look", "--library", library, "--unit", "F-1", "--title", "Look", *steps
        )
        assert (said.code, said.err) == (0, "")
        errors, verdicts = checked(library)
        assert (errors, verdicts["look", "F-1"]) == ([], "safe")

    def test_a_step_with_an_unknown_name_is_not_written(self, tmp_path):
        library = written(tmp_path)
        said = call("new", "procedure", "look", "--library", library, "--unit", "F-1", "--title", "Look",
                    "--step", "Look at the <frist>.")  # fmt: skip
        assert said.code == 1
        assert "frist" in said.out
        assert "Traceback" not in said.err
        assert not (library / "look.yaml").exists()

    @pytest.mark.parametrize(
        ("more", "told"),
        [
            (("--unit", "F-9", "--title", "Look", "--step", "A."), "There is no unit `F-9`"),
            (("--unit", "F-1", "--title", "Look"), "--open or --step is missing"),
            (("--unit", "F-1", "--title", "Look", "--open", "frist"), "Did you mean `first`?"),
            (
                ("--unit", "F-1", "--title", "Look", "--open", "first", "--step", "A."),
                "Give --open or --step",
            ),
        ],
    )
    def test_wrong_calls(self, tmp_path, more, told):
        said = call("new", "procedure", "look", "--library", written(tmp_path), *more)
        assert (said.code, said.out) == (2, "")
        assert told in said.err


def test_what_is_not_given_is_asked_at_a_terminal(library):
    """Title, base (none), fluid, form, pressure, supply, machine (none), parts, outlet; no bypass, tank."""
    answers = ["Dry filter", "", "air", "gas_pressure", "7 bar", "header, valve V1 at the wall", "",
               "bowl, vent V2, gauge P1", "", "line, valve V3 on top", "", ""]  # fmt: skip
    ours, theirs = pty.openpty()
    os.write(ours, "".join(f"{answer}\n" for answer in answers).encode())
    ran = subprocess.run(
        [sys.executable, "-m", "proctool", "new", "unit", "ZZ-5", "--library", str(library)],
        stdin=theirs, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    os.close(ours)
    os.close(theirs)
    assert ran.returncode == 0, ran.stderr
    assert "Fluid that runs through the parts" in ran.stderr
    assert "traps_air" not in (library / "units" / "zz-5.yaml").read_text()
    assert not checked(library)[0]
