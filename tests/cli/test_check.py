"""`proctool check` and what all commands share: exit codes, wrong names, the report for programs."""

import json

import pytest

import proctool
from tests.cli.plant import DEMO, call, run, written

UNSAFE = ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
UNKNOWN = ("change-filter.yaml", "    open: first\n", "    open: frist\n")


class TestExitCodes:
    def test_0_without_errors(self, tmp_path):
        said = call("check", written(tmp_path))
        assert (said.code, said.err) == (0, "")
        assert said.out.endswith("\n\nNo faults found; 2 of 2 proven safe.\n")

    def test_0_for_the_demonstration_library(self):
        said = run("check", DEMO)
        assert (said.code, said.err) == (0, ""), said.out

    @pytest.mark.parametrize("change", [UNSAFE, UNKNOWN], ids=["unsafe", "cannot be resolved"])
    def test_1_with_errors(self, tmp_path, change):
        assert call("check", written(tmp_path, change)).code == 1

    def test_1_where_nothing_is_proven(self, tmp_path):
        said = call("check", written(tmp_path), "--budget", "3")
        assert said.code == 1
        assert "NOT PROVEN" in said.out and "graph/too-free" in said.out

    @pytest.mark.parametrize(
        "args",
        [
            ["check", "--format", "xml"],
            ["check", "--budget", "0"],
            ["check", "--no-such-option"],
            ["no-such-command"],
            ["show"],
            ["check", "a", "b"],
        ],
    )
    def test_2_for_a_wrong_call(self, args):
        said = call(*args)
        assert (said.code, said.out) == (2, "")
        assert "Usage: proctool" in said.err

    def test_a_file_in_the_library_stands_for_itself(self, tmp_path):
        written(tmp_path, extra="procedure: other\ntitle: O\nunits: [F-1]\nsteps: [{do: See the <first>.}]\n")
        verdicts = json.loads(call("check", tmp_path / "extra.yaml", "--format", "json").out)["verdicts"]
        assert [(v["procedure"], v["unit"]) for v in verdicts] == [("other", "F-1")]
        verdicts = json.loads(call("check", tmp_path / "units/f-2.yaml", "--format", "json").out)["verdicts"]
        assert [(v["procedure"], v["unit"]) for v in verdicts] == [("change-filter", "F-2")]

    @pytest.mark.parametrize("file", ["library.yaml", "change-cartridges.yaml", "weekly-round.yaml"])
    def test_a_procedure_alone_is_found_the_same(self, file):
        alone, among = (proctool.open_library(DEMO / file, alone=alone).check() for alone in (True, False))
        assert (alone.findings, alone.verdicts) == (among.findings, among.verdicts) and alone.verdicts

    def test_other_procedures_do_not_bear_on_one(self, tmp_path):
        written(tmp_path, UNKNOWN, extra="procedure: extra\ntitle: E\nunits: [F-1]\nsteps: [{opne: first}]\n")
        found = json.loads(call("check", tmp_path / "change-filter.yaml", "--format", "json").out)["findings"]
        assert {f["file"] for f in found} == {"change-filter.yaml"}
        assert call("check", tmp_path / "change-filter.yaml", "--procedure", "extra").code == 2

    def test_one_procedure_and_one_unit(self, tmp_path):
        said = call("check", written(tmp_path), "--procedure", "change-filter", "--unit", "F-2")
        assert "F-1" not in said.out
        assert said.out.endswith("1 of 1 proven safe.\n")


def test_without_a_path_it_is_the_library_of_this_folder_or_procedures_in_it(tmp_path):
    written(tmp_path / "procedures")
    for folder in (tmp_path, tmp_path / "procedures"):
        said = run("check", cwd=folder)
        assert (said.code, said.err) == (0, "")
        assert "2 of 2 proven safe" in said.out


def test_version():
    said = call("--version")
    assert (said.code, said.out) == (0, f"proctool, version {proctool.__version__}\n")


@pytest.mark.parametrize("command", [[], ["check"], ["build"], ["show"]])
def test_help_fits_a_terminal(command):
    said = call(*command, "--help")
    assert said.code == 0
    assert all(len(line) <= 80 for line in said.out.splitlines())


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (["chek"], "There is no command `chek`; there are check, build, show"),
        (["buidl"], "Did you mean `build`?"),
        (
            ["check", "LIB", "--procedure", "change-fitler"],
            "There is no procedure `change-fitler` in this library. Did you mean `change-filter`?",
        ),
        (["check", "LIB", "--unit", "F1"], "There is no unit `F1` in this library. Did you mean `F-1`?"),
        (["check", "LIB", "--unit", "xyz"], "There is no unit `xyz` in this library. There are F-1, F-2."),
        (["build", "LIB", "--unit", "F1"], "Did you mean `F-1`?"),
        (["build", "LIB", "--procedure", "change"], "Did you mean `change-filter`?"),
        (["show", "change-filtr", "F-1", "--library", "LIB"], "Did you mean `change-filter`?"),
        (["show", "change-filter", "F_1", "--library", "LIB"], "Did you mean `F-1`?"),
    ],
)
def test_a_wrong_name_is_told_with_the_nearest(tmp_path, args, message):
    library = written(tmp_path)
    said = call(*(library if arg == "LIB" else arg for arg in args))
    assert (said.code, said.out) == (2, "")
    assert message in said.err


class TestJson:
    KEYS = (
        *("rule", "level", "procedure", "unit", "step", "part", "energies", "file"),
        *("line", "column", "message", "trace", "help", "path", "mend"),
    )

    def report(self, folder, *changes, **more):
        said = call("check", written(folder, *changes, **more), "--format", "json")
        assert said.err == ""
        return json.loads(said.out)

    def test_of_a_clean_library(self, tmp_path):
        report = self.report(tmp_path)
        states = report["verdicts"][0]["states"]
        assert isinstance(states, int) and states > 12
        assert report == {
            "library": "Small plant",
            "verdicts": [
                {
                    "procedure": "change-filter",
                    "unit": unit,
                    "verdict": "safe",
                    "orders": "1",
                    "states": states,
                }
                for unit in ("F-1", "F-2")
            ],
            "findings": [],
            "counts": {"error": 0, "warning": 0, "advice": 0},
        }

    def test_of_an_unsafe_one(self, tmp_path):
        report = self.report(tmp_path, UNSAFE)
        assert {v["verdict"] for v in report["verdicts"]} == {"unsafe"}
        finding = next(f for f in report["findings"] if f["rule"] == "energy/opened-live")
        assert tuple(finding) == self.KEYS
        assert finding["trace"][0].pop("changed") and finding["trace"][0].pop("path") == []
        assert "inlet valve V1" in finding["mend"]["text"]
        told = {"message", "help", "mend"}
        assert {key: finding[key] for key in self.KEYS if key not in told} == {
            "rule": "energy/opened-live",
            "level": "error",
            "procedure": "change-filter",
            "unit": "F-1",
            "step": "unscrew-first",
            "part": "first",
            "energies": ["water"],
            "file": "change-filter.yaml",
            "line": 7,
            "column": 5,
            "trace": [{"step": "unscrew-first", "passed": None}],
            "path": [{"energy": "water", "parts": ["supply", "inlet", "first"]}],
        }

    def test_a_trace_says_how_each_check_went(self, tmp_path):
        change = ("change-filter.yaml", "    inspect_seal: first\n", "")
        report = self.report(tmp_path, change)
        finding = next(f for f in report["findings"] if f["rule"] == "leak/seal-not-inspected")
        passed = {move["step"].rpartition("/")[2]: move["passed"] for move in finding["trace"]}
        assert passed == {
            "tell": None,
            "isolate-device": None,
            "vent-way_out": None,
            "verify_zero-part": True,
            "unscrew-first": None,
            "renew": None,
            "ring": True,
            "screw-on": None,
        }
        assert finding["trace"][-1]["step"] == finding["step"] == "screw-on"

    def test_of_a_file_that_cannot_be_read(self, tmp_path):
        report = self.report(tmp_path, **{"change-filter": "procedure: [\n"})
        (finding,) = report["findings"]
        assert tuple(finding) == self.KEYS
        assert (finding["rule"], finding["file"], finding["trace"]) == ("file/yaml", "change-filter.yaml", [])
        assert (finding["procedure"], finding["unit"], finding["step"]) == (None, None, None)
        assert finding["line"] >= 1 and finding["column"] >= 1
        assert report["verdicts"] == []

    def test_where_the_library_file_cannot_be_read(self, tmp_path):
        report = self.report(tmp_path, library="library: [\n")
        assert report["library"] is None
        assert report["verdicts"][0] == {
            "procedure": "change-filter",
            "unit": "F-1",
            "verdict": "unproven",
            "orders": None,
            "states": 0,
        }

    def test_findings_stand_in_their_fixed_order_and_counts_add_up(self, tmp_path):
        broken = (
            "procedure: p\ntitle: P\nunits: [F]\nsteps: [{do: See., opne: first}, {open: frist, clos: x}]\n"
        )
        changes = (UNSAFE, ("units/f-base.yaml", "tag: V4", "tag: V1"))
        report = self.report(tmp_path, *changes, a=broken, z=broken.replace("procedure: p", "procedure: z"))
        findings = report["findings"]
        order = [
            (f["file"], f["line"] or 0, f["column"] or 0, f["rule"], f["unit"] or "", f["step"] or "",
             f["part"] or "", f["message"])
            for f in findings
        ]  # fmt: skip
        assert order == sorted(order)
        assert len(findings) > 4
        for level, count in report["counts"].items():
            assert count == sum(f["level"] == level for f in findings)

    def test_it_is_the_same_each_time_and_under_any_hash_seed(self, tmp_path):
        library = written(tmp_path, UNSAFE)
        said = {
            run("check", library, "--format", "json", PYTHONHASHSEED=seed).out for seed in ("1", "2", "77")
        }
        assert len(said) == 1

    def test_signs_of_other_languages_are_kept(self, tmp_path):
        report = self.report(tmp_path, ("library.yaml", "Small plant", "Kleine Größe, 工場"))
        assert report["library"] == "Kleine Größe, 工場"
