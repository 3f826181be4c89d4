"""`proctool new`, `proctool explain`, `--today`, and progress, which only a terminal is shown."""

import json
import os
import pty
import select
import subprocess
import sys
from contextlib import suppress

import pytest

from proctool.api import PAGES
from tests.cli.plant import DEMO, call, faults, run, written
from tests.cli.test_bad_input import short


def files(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


class TestNewLibrary:
    def test_it_passes_check_without_a_finding_and_builds(self, tmp_path):
        new = tmp_path / "ours"
        said = short(run("new", "library", new))
        assert (said.code, said.err) == (0, "")
        *told, last = said.out.splitlines()
        assert sorted(line.removeprefix(f"written  {new}/") for line in told) == files(new)
        assert last == f"Next: proctool check {new}"
        report = json.loads(run("check", new, "--format", "json").out)
        assert report["findings"] == []
        assert {verdict["verdict"] for verdict in report["verdicts"]} == {"safe"}
        built = run("build", new, "--to", tmp_path / "out")
        assert (built.code, built.err) == (0, "")
        assert {path.rpartition(".")[2] for path in files(tmp_path / "out")} == {"html", "pdf"}

    def test_an_empty_folder_will_do(self, tmp_path):
        assert call("new", "library", tmp_path).code == 0
        assert call("check", tmp_path).code == 0

    @pytest.mark.parametrize(
        "name",
        [
            "O'Neill's \"best\" plant",
            "Plant: Leeds #2, {north} [a] & <b>",
            "it''s",
            "- dash",
            "&anchor *alias !tag",
            "Änderungen (工場)",
            "yes",
            "1.10",
            "null",
            "~",
            "\\N \\x41 %s {0}",
            "x" * 200,
        ],
    )
    def test_its_name_stays_as_it_was_given(self, tmp_path, name):
        assert call("new", "library", tmp_path / "ours", "--name", name).code == 0
        report = json.loads(call("check", tmp_path / "ours", "--format", "json").out)
        assert (report["library"], report["findings"]) == (name, [])

    @pytest.mark.parametrize("name", ["", "   ", "a\nb", "a\x1b[31mb", "a\tb", "a\u202eb"])
    def test_a_name_that_is_no_line_of_text(self, tmp_path, name):
        said = short(call("new", "library", tmp_path / "ours", "--name", name))
        assert (said.code, said.out) == (2, "")
        assert said.err == "proctool: The name of a library is a line of text.\n"
        assert not (tmp_path / "ours").exists()

    @pytest.mark.parametrize("kept", ["notes.txt", ".hidden", "library.yaml"])
    def test_a_folder_with_something_in_it_is_left_alone(self, tmp_path, kept):
        (tmp_path / kept).write_text("kept")
        said = short(call("new", "library", tmp_path))
        assert (said.code, said.out) == (2, "")
        assert said.err == f"proctool: {tmp_path} is not empty. Name a new folder.\n"
        assert files(tmp_path) == [kept]

    def test_a_file_is_left_alone(self, tmp_path):
        (tmp_path / "file").write_text("kept")
        said = short(call("new", "library", tmp_path / "file"))
        assert (said.code, said.out) == (2, "")
        assert said.err == f"proctool: {tmp_path / 'file'} is no folder. Name a new folder.\n"
        assert (tmp_path / "file").read_text() == "kept"

    @pytest.mark.parametrize("below", ["file/ours", "file/deep/ours", f"{'x' * 300}/ours"])
    def test_where_nothing_can_be_written(self, tmp_path, below):
        (tmp_path / "file").write_text("kept")
        said = short(call("new", "library", tmp_path / below))
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith("proctool: Cannot write to ") and said.err.count("\n") == 1
        assert files(tmp_path) == ["file"]

    def test_a_link_to_nothing_is_not_followed(self, tmp_path):
        (tmp_path / "link").symlink_to(tmp_path / "nowhere")
        said = short(call("new", "library", tmp_path / "link"))
        assert (said.code, said.out) == (2, "")
        assert not (tmp_path / "nowhere").exists()

    @pytest.mark.parametrize(
        "args", [["new", "library"], ["new", "librray", "x"], ["new", "library", "a", "b"]]
    )
    def test_a_wrong_call(self, args):
        said = call(*args)
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith("Usage: proctool new") and len(said.lines) < 8


class TestExplain:
    def test_without_a_rule_all_are_listed(self):
        said = call("explain")
        assert (said.code, said.err) == (0, "")
        heads = [line.split()[0] for line in said.out.splitlines() if "/" in line.split("  (")[0]]
        assert [head for head in heads if head in PAGES] == list(PAGES)
        assert (
            "energy/opened-live  (error, no deviation and no other level)\n    Nothing is opened" in said.out
        )
        assert "tables/too-fine  (warning)\n" in said.out
        assert said.out.endswith("`proctool explain RULE` shows why, the source, a bad and a good example.\n")

    @pytest.mark.parametrize("rule", PAGES)
    def test_the_page_of_each(self, rule):
        said = call("explain", rule)
        assert (said.code, said.err) == (0, "")
        lines = said.out.splitlines()
        assert lines[0].startswith(f"{rule}  (")
        parts = [lines.index(head) for head in ("Why", "Source", "Bad", "Good")]
        assert parts == sorted(parts)
        assert all(lines[part + 1].startswith("    ") for part in parts)

    @pytest.mark.parametrize(
        ("name", "hint"),
        [
            ("energy/opened-lve", "Did you mean `energy/opened-live`?"),
            ("tables/row_off", "Did you mean `tables/row-off`?"),
            ("Leak/Unchecked", "Did you mean `leak/unchecked`?"),
            ("zzz", "`proctool explain` lists them."),
        ],
    )
    def test_a_rule_that_does_not_exist(self, name, hint):
        said = short(call("explain", name))
        assert (said.code, said.out) == (2, "")
        assert said.err == f"proctool: There is no rule `{name}`. {hint}\n"

    def test_it_needs_no_library(self, tmp_path):
        assert run("explain", "leak/unchecked", cwd=tmp_path).code == 0


DEVIATION = """\
people: [technician]
deviations:
  - rule: leak/seal-not-inspected
    part: first
    why: The ring is moulded into the lid.
    instead: The lid is replaced every year.
    by: A. Nyone
    until: 2027-03-31
"""
P = "change-filter.yaml"


class TestToday:
    @pytest.fixture
    def library(self, tmp_path):
        """A seal that nobody looks at, and a deviation that says so."""
        looks = "  - check: The O-ring has no cut.\n    id: ring\n    inspect_seal: first\n"
        otherwise = "    otherwise: {continue: true, steps: [{do: Fit a new <o_ring>., new_seal: first}]}\n"
        grease = (P, looks + otherwise, "  - do: Wipe the <o_ring>.\n    id: ring\n")
        return written(tmp_path / "library", grease, (P, "people: [technician]\n", DEVIATION))

    @pytest.mark.parametrize("day", ["2026-06-01", "2027-03-31"])
    def test_a_deviation_counts_up_to_its_last_day(self, library, day):
        said = call("check", library, "--today", day)
        assert (said.code, said.err) == (0, "")
        assert ("warning", "leak/seal-not-inspected") in [found[1:] for found in faults(said.out)]
        assert "Deviation until 2027-03-31: The lid is replaced every year." in " ".join(said.out.split())
        assert "content/deviation-expired" not in said.out

    @pytest.mark.parametrize("day", ["2027-04-01", "2027-05-11"])
    def test_and_not_after_it(self, library, day):
        said = short(call("check", library, "--today", day))
        assert said.code == 1
        found = {rule for _, level, rule in faults(said.out) if level == "error"}
        assert found == {"leak/seal-not-inspected", "content/deviation-expired"}
        assert "  error     The deviation from `leak/seal-not-inspected` ended" in said.out
        assert "0 of 2 proven safe" in said.out

    def test_for_build_too(self, library):
        to = library.parent / "out"
        args = ("build", library, "--to", to, "--formats", "html", "--today")
        refused = call(*args, "2027-04-01")
        assert refused.code == 1 and refused.out.startswith("refused  change-filter on F-1: unsafe.")
        assert not to.exists()
        assert call(*args, "2027-03-31").code == 0
        page = (to / "change-filter/F-1.html").read_text(encoding="utf-8")
        assert "The lid is replaced every year." in page and "2027-03-31" in page

    @pytest.mark.parametrize("command", ["check", "build"])
    @pytest.mark.parametrize("day", ["tomorrow", "31.3.2027", "2027-02-30", "2027-3", ""])
    def test_a_day_that_is_none(self, library, command, day):
        said = call(command, library, "--today", day)
        assert (said.code, said.out) == (2, "")
        assert "'--today': found `" + day + "`; expected a day such as 2027-03-31.\n" in said.err


def with_terminals(*args, out, err):
    """What a call writes to its output and to its error stream, each a terminal or a pipe."""
    ends = [pty.openpty() if terminal else os.pipe() for terminal in (out, err)]
    theirs = [end[1] for end in ends]
    process = subprocess.Popen(
        [sys.executable, "-m", "proctool", *map(str, args)],
        cwd=DEMO.parent,
        env={**os.environ, "TERM": "xterm"},
        stdin=subprocess.DEVNULL,
        stdout=theirs[0],
        stderr=theirs[1],
    )
    for end in theirs:
        os.close(end)
    said = {end[0]: b"" for end in ends}
    waiting = set(said)
    while waiting:
        for end in select.select(list(waiting), [], [], 60)[0]:
            piece = b""
            with suppress(OSError):  # how a terminal says that the other side is closed
                piece = os.read(end, 4096)
            said[end] += piece
            if not piece:
                waiting.discard(end)
                os.close(end)
    assert process.wait(timeout=60) == 0
    return tuple(said[end[0]].decode() for end in ends)


class TestProgress:
    @pytest.fixture
    def library(self, tmp_path):
        """Two procedures on three units: enough to be shown."""
        second = (written(tmp_path / "library") / P).read_text().replace("change-filter", "again")
        unit = "unit: F-3\ntitle: Filter 3\nbased_on: f-base\nchecked: {by: A. Nyone, date: 2026-05-01}\n"
        return written(tmp_path / "library", again=second, units__f_3=unit)

    def test_on_a_terminal(self, library):
        out, err = with_terminals("check", library, out=False, err=True)
        assert "proving" in err and "6/6" in err
        assert "proving" not in out and "6 of 6 proven safe" in out

    @pytest.mark.parametrize("out", [True, False])
    def test_nowhere_else(self, library, out):
        said, err = with_terminals("check", library, out=out, err=False)
        assert err == ""
        assert "proving" not in said and "6 of 6 proven safe" in said

    def test_not_for_a_few(self, tmp_path):
        out, err = with_terminals("check", written(tmp_path), out=False, err=True)
        assert err == ""
        assert "2 of 2 proven safe" in out

    def test_the_report_for_programs_is_the_same(self, library):
        shown, _ = with_terminals("check", library, "--format", "json", out=False, err=True)
        assert json.loads(shown) == json.loads(run("check", library, "--format", "json").out)
