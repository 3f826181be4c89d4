"""What `check` writes besides its plain report: baselines, statistics, SARIF, JUnit."""

import json
import os
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import xmlschema
from jsonschema import Draft4Validator

from tests.cli.plant import BASE, DEMO, call, faults, run, written

SCHEMAS = Path(__file__).parents[1] / "report"
UNSAFE = ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
UNKNOWN = ("change-filter.yaml", "    open: first\n", "    open: frist\n")
BEFORE = ("change-filter.yaml", "title: Change", "# one\n# more\n# line\ntitle: Change")


@pytest.fixture
def plant(tmp_path):
    """Writes the plant with changes, in a folder of its own for each call."""
    made = iter(range(99))
    return lambda *changes, **more: written(tmp_path / f"plant-{next(made)}", *changes, **more)


def warned(plant, *changes):
    """A plant with errors that a baseline may hold: the warning of its energy is missing."""
    (text,) = re.findall(r"    warning:\n.*\n", BASE)
    return plant(("units/f-base.yaml", text, ""), *changes)


class TestBaseline:
    def test_what_it_holds_is_not_shown_and_does_not_fail(self, plant, tmp_path):
        folder, file = warned(plant), tmp_path / "known.json"
        before = call("check", folder)
        assert before.code == 1 and "energy/no-warning" in before.out
        said = call("check", folder, "--write-baseline", file)
        assert said.code == 0 and said.err.startswith(f"written  {file}: ")
        said = call("check", folder, "--baseline", file)
        assert (said.code, said.err) == (0, "")
        assert faults(said.out) == [] and "of the baseline are not shown." in said.out
        assert said.out.endswith("No faults found; 2 of 2 proven safe.\n")

    def test_moved_lines_do_not_matter_and_new_findings_are_shown(self, plant, tmp_path):
        file = tmp_path / "known.json"
        call("check", warned(plant), "--write-baseline", file)
        assert call("check", warned(plant, BEFORE), "--baseline", file).code == 0
        said = call("check", warned(plant, BEFORE, UNSAFE), "--baseline", file)
        assert said.code == 1
        assert "energy/opened-live" in said.out and "unit/isolator-unnamed" not in said.out

    def test_what_is_mended_is_told_of_a_whole_library(self, plant, tmp_path):
        file = tmp_path / "known.json"
        call("check", warned(plant), "--write-baseline", file)
        said = call("check", plant(), "--baseline", file)
        assert said.code == 0 and "entries are mended: `--write-baseline`" in " ".join(said.out.split())
        assert "mended" not in call("check", plant(), "--baseline", file, "--unit", "F-1").out

    @pytest.mark.parametrize("change", [UNSAFE, UNKNOWN], ids=["unsafe", "unproven"])
    def test_what_keeps_a_case_from_being_proven_is_never_held(self, plant, tmp_path, change):
        folder, file = warned(plant, change), tmp_path / "known.json"
        found = call("check", folder, "--all").out
        said = call("check", folder, "--write-baseline", file)
        assert said.code == 1 and "may not be held and stay" in said.err
        rows = json.loads(file.read_text(encoding="utf-8"))["findings"]
        rules = {row["rule"] for row in rows}
        assert not rules & {"energy/opened-live", "energy/opened-unproven", "graph/unknown-name"}
        left = {rule for _, _, rule in faults(found)} - rules
        assert left and left <= {
            rule for _, _, rule in faults(call("check", folder, "--all", "--baseline", file).out)
        }
        assert call("check", folder, "--baseline", file).code == 1

    def test_nor_when_it_is_written_in_by_hand(self, plant, tmp_path):
        folder, file = plant(UNSAFE), tmp_path / "known.json"
        report = json.loads(call("check", folder, "--format", "json").out)
        keys = ("rule", "level", "file", "procedure", "unit", "step", "part", "message")
        rows = [{**{key: finding[key] for key in keys}, "count": 1} for finding in report["findings"]]
        file.write_text(json.dumps({"baseline": 1, "library": report["library"], "findings": rows}))
        said = call("check", folder, "--baseline", file)
        assert said.code == 1 and "energy/opened-live" in said.out
        assert "may not be held: what keeps a case from being proven stays in sight." in " ".join(
            said.out.split()
        )

    def test_build_takes_no_notice_of_it(self, plant, tmp_path):
        folder = warned(plant)
        call("check", folder, "--write-baseline", tmp_path / "known.json")
        assert "refused" in call("build", folder, "--to", tmp_path / "out", "--formats", "html").out

    def test_that_of_another_library_is_refused(self, plant, tmp_path):
        file = tmp_path / "known.json"
        call("check", plant(), "--write-baseline", file)
        said = call("check", plant(("library.yaml", "Small plant", "Other")), "--baseline", file)
        assert (said.code, said.out) == (2, "")
        assert "is the baseline of another library: `Small plant`, and this is `Other`." in said.err

    def test_one_that_is_too_large_is_not_read(self, plant, tmp_path):
        file = tmp_path / "known.json"
        with file.open("wb") as stream:
            stream.truncate(64 * 1024**2 + 1)
        said = call("check", plant(), "--baseline", file)
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith(f"proctool: {file} cannot be used: it has more than 64 MiB.")

    @pytest.mark.parametrize(
        ("content", "said"),
        [(None, "no such file or directory"), ("x", "it is no JSON"), ("{}", "it is no baseline")],
    )
    def test_what_is_none_is_refused(self, plant, tmp_path, content, said):
        file = tmp_path / "known.json"
        if content is not None:
            file.write_text(content)
        answer = call("check", plant(), "--baseline", file)
        assert (answer.code, answer.out) == (2, "")
        assert (
            answer.err == f"proctool: {file} cannot be used: {said}. `--write-baseline {file}` writes one.\n"
        )

    @pytest.mark.parametrize(
        ("name", "args", "said"),
        [
            ("known.yaml", [], "A baseline is no YAML: a name such as"),
            ("known.json", ["--unit", "F-1"], "A baseline is of a whole library"),
            ("known.json", ["--procedure", "change-filter"], "A baseline is of a whole library"),
            ("other.json", [], "is there already and is no baseline"),
            ("no/folder/../../other.json/x", [], "Cannot write to"),
        ],
    )
    def test_where_it_cannot_be_written(self, plant, tmp_path, name, args, said):
        (tmp_path / "other.json").write_text("{}")
        answer = call("check", plant(), *args, "--write-baseline", tmp_path / name)
        assert (answer.code, answer.out) == (2, "") and said in answer.err
        assert (tmp_path / "other.json").read_text() == "{}"
        assert not (tmp_path / "known.json").exists() and not (tmp_path / "known.yaml").exists()

    def test_of_a_file_alone_and_of_a_library_without_a_name_neither(self, plant, tmp_path):
        file, folder = tmp_path / "known.json", plant()
        assert call("check", folder / "change-filter.yaml", "--write-baseline", file).code == 2
        assert call("check", plant(library="library: [\n"), "--write-baseline", file).code == 2
        call("check", folder, "--write-baseline", file)
        said = call("check", plant(library="library: [\n"), "--baseline", file)
        assert said.code == 2 and "The name of the library cannot be read" in said.err

    def test_one_is_read_or_written(self, plant, tmp_path):
        said = call("check", plant(), "--baseline", tmp_path / "a", "--write-baseline", tmp_path / "b")
        assert said.code == 2 and "Give --baseline or --write-baseline, not both" in said.err

    def test_programs_are_told_how_much_it_holds(self, plant, tmp_path):
        folder, file = warned(plant), tmp_path / "known.json"
        call("check", folder, "--write-baseline", file)
        report = json.loads(call("check", folder, "--baseline", file, "--format", "json").out)
        assert report["findings"] == [] and report["counts"]["error"] == 0
        assert report["baseline"]["known"] > 0 and report["baseline"]["mended"] == 0
        assert "baseline" not in json.loads(call("check", folder, "--format", "json").out)


class TestStatistics:
    def test_for_people(self, plant):
        said = call("check", plant(UNSAFE), "--statistics")
        assert re.search(r"^rule +error warning  advice     all$", said.out, re.MULTILINE)
        assert re.search(r"^  opened-live +2 +· +· +2$", said.out, re.MULTILINE)
        assert "\n2 cases: 2 unsafe.\n" in said.out

    def test_for_programs_only_if_asked(self, plant):
        folder = plant(UNSAFE)
        report = json.loads(call("check", folder, "--statistics", "--format", "json").out)
        assert report["statistics"]["cases"]["unsafe"] == 2
        assert sum(row["error"] for row in report["statistics"]["rules"]) == report["counts"]["error"]
        assert sum(row["error"] for row in report["statistics"]["packs"]) == report["counts"]["error"]
        assert "statistics" not in json.loads(call("check", folder, "--format", "json").out)

    @pytest.mark.parametrize("kind", ["sarif", "junit"])
    def test_not_in_formats_that_have_no_place_for_them(self, plant, kind):
        said = call("check", plant(), "--statistics", "--format", kind)
        assert said.code == 2 and f"not for {kind}" in said.err


class TestSarif:
    def report(self, *args, cwd=None):
        said = run("check", *args, "--format", "sarif", cwd=cwd)
        assert said.err == ""
        whole = json.loads(said.out)
        schema = json.loads((SCHEMAS / "sarif-2.1.0.schema.json").read_text(encoding="utf-8"))
        Draft4Validator(schema).validate(whole)
        return said, whole["runs"][0]

    def test_of_an_unsafe_library(self, plant):
        folder = plant(UNSAFE)
        said, found = self.report(folder)
        assert said.code == 1 and str(folder.parent) not in said.out
        result = next(r for r in found["results"] if r["ruleId"] == "energy/opened-live")
        place = result["locations"][0]["physicalLocation"]
        assert place["artifactLocation"]["uri"] == "change-filter.yaml"
        assert (place["region"]["startLine"], place["region"]["startColumn"]) == (7, 5)
        (step,) = result["codeFlows"][0]["threadFlows"][0]["locations"]
        assert step["location"]["message"]["text"] == "Unscrew the filter housing with the strap wrench."
        assert step["location"]["physicalLocation"]["region"]["startLine"] == 7
        rule = found["tool"]["driver"]["rules"][result["ruleIndex"]]
        assert rule["id"] == result["ruleId"] and "Source: 29 CFR" in rule["help"]["markdown"]

    def test_every_step_of_every_trace_has_its_place(self, plant):
        _, found = self.report(plant(("change-filter.yaml", "    inspect_seal: first\n", "")))
        flows = [
            r["codeFlows"][0]["threadFlows"][0]["locations"] for r in found["results"] if "codeFlows" in r
        ]
        assert flows and all("physicalLocation" in step["location"] for flow in flows for step in flow)

    def test_places_are_below_the_folder_one_is_in(self, plant):
        folder = plant(UNSAFE)
        _, found = self.report(folder.name, cwd=folder.parent)
        uris = {r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for r in found["results"]}
        assert uris == {f"{folder.name}/change-filter.yaml"}

    def test_fingerprints_stay_when_lines_move(self, plant):
        found = [self.report(plant(UNSAFE, *more))[1]["results"] for more in ((), (BEFORE,))]
        prints = [[r["partialFingerprints"] for r in results] for results in found]
        assert prints[0] == prints[1] and prints[0]

    def test_of_the_demonstration_library(self):
        said, found = self.report(DEMO)
        assert said.code == 0 and {v["verdict"] for v in found["properties"]["verdicts"]} == {"safe"}


class TestJunit:
    def suites(self, folder):
        said = call("check", folder, "--format", "junit")
        assert said.err == ""
        whole = ET.fromstring(said.out.encode())  # noqa: S314 - our own
        xmlschema.XMLSchema(str(SCHEMAS / "junit-10.xsd")).validate(whole)
        return said.code, {s.get("name"): {c.get("name"): [e.tag for e in c] for c in s} for s in whole}

    def test_of_an_unsafe_library(self, plant):
        code, found = self.suites(plant(UNSAFE))
        assert code == 1
        assert found["change-filter"] == {
            "as written": [],
            "F-1": ["failure", "system-out"],
            "F-2": ["failure", "system-out"],
        }
        assert "units/f-1.yaml" in found["files"]

    def test_of_a_clean_one(self, plant):
        code, found = self.suites(plant())
        assert (
            code == 0
            and {tag for cases in found.values() for tags in cases.values() for tag in tags} == set()
        )

    def test_a_file_that_cannot_be_read_fails(self, plant):
        code, found = self.suites(plant(**{"change-filter": "procedure: [\n"}))
        assert code == 1 and found["files"]["change-filter.yaml"] == ["failure"]


class TestTerminal:
    def test_the_line_stands_in_the_report_with_its_place_marked(self, plant):
        lines = call("check", plant(UNKNOWN)).out.splitlines()
        at = next(i for i, line in enumerate(lines) if line.startswith("  line 9 "))
        assert lines[at].endswith("open: frist")
        assert lines[at + 1].index("^") == lines[at].index("frist")

    def test_a_trace_is_one_line_unless_explained(self, plant):
        folder = plant(("change-filter.yaml", "    inspect_seal: first\n", ""))
        folded, whole = (call("check", folder, *more).out for more in ((), ("--explain",)))
        (how,) = [line for line in folded.splitlines() if line.startswith("  how ")]
        assert re.fullmatch(r"  how       in 8 steps: \S.* → screw-on", how) and "`--explain`" in folded
        assert "       >  8 Screw the filter housing on.\n" in whole and "`--explain`" not in whole

    def test_a_pipe_gets_80_columns(self, plant):
        said = run("check", plant(UNSAFE), "--explain", COLUMNS="200")
        assert max(map(len, said.out.splitlines())) <= 80

    def test_help_says_what_a_baseline_is_not(self):
        said = " ".join(call("check", "--help").out.split())
        assert "an unsafe case still fails and is not built" in said
        assert os.sep not in said.split("Usage:")[0]
