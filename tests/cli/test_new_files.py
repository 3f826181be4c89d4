"""`proctool new unit` and `proctool new procedure`: what they write passes check at once."""

import json
import os
import pty
import shutil
import subprocess
import sys

import pytest

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
    """Title, base (none), fluid, form, pressure, supply, machine (none), parts, outlet."""
    answers = ["Dry filter", "", "air", "gas_pressure", "7 bar", "header, valve V1 at the wall", "",
               "bowl, vent V2, gauge P1", "", "line, valve V3 on top"]  # fmt: skip
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
