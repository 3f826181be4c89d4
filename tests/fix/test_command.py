"""`proctool check --fix` and `--diff` on a library on disk."""

import json
import shutil
import subprocess

import pytest

from tests.cli.plant import FILES, call, run, written

TIGHT = ("units/f-base.yaml", "accuracy: 1.6 %", "accuracy: 1.6%")
CUT = (
    "change-filter.yaml",
    "do: Put in a new <first.cartridge>.",
    "do: Note: put in a new <first.cartridge>.",
)
NEEDS = ("change-filter.yaml", "    open: first\n", "    needs: {first: relieved}  # why\n    open: first\n")


def content(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def test_fix_writes_tells_and_checks_what_remains(tmp_path):
    said = call("check", written(tmp_path, TIGHT, NEEDS), "--fix")
    assert said.err.splitlines() == [
        "fixed  change-filter.yaml:9: `first` needs `proven` too (graph/need-unsaid)",
        "fixed  units/f-base.yaml:17: `1.6%` → `1.6 %` (wording/unit-spacing)",
    ]
    assert "2 of 2 proven safe" in said.out
    assert "graph/need-unsaid" not in said.out
    assert (tmp_path / "units/f-base.yaml").read_text("utf-8") == FILES["units/f-base.yaml"]
    assert "    needs: {first: [relieved, proven]}  # why\n" in (tmp_path / "change-filter.yaml").read_text(
        "utf-8"
    )


def test_a_second_run_changes_nothing(tmp_path):
    call("check", written(tmp_path, TIGHT, NEEDS, CUT), "--fix")
    before = content(tmp_path)
    said = call("check", tmp_path, "--fix")
    assert said.err == "Nothing to fix.\n"
    assert content(tmp_path) == before


def test_diff_shows_and_writes_nothing(tmp_path):
    before = content(written(tmp_path, TIGHT, CUT))
    for options in (["--diff"], ["--fix", "--diff"]):
        said = call("check", tmp_path, *options)
        assert said.code == 1
        assert "\n-  - do: Note: put in a new <first.cartridge>.\n" in said.out
        assert said.err.count("can be fixed  ") == 2
        assert content(tmp_path) == before


@pytest.mark.skipif(shutil.which("patch") is None, reason="needs patch")
@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
def test_the_diff_is_one_that_patch_takes(tmp_path, line_break):
    ours, other = tmp_path / "ours", tmp_path / "other"
    for folder in (ours, other):
        for path in written(folder, TIGHT, CUT, NEEDS).rglob("*.yaml"):
            text = path.read_text("utf-8").rstrip("\n") if path.stem == "f-base" else path.read_text("utf-8")
            path.write_bytes(text.replace("\n", line_break).encode())
    diff = run("check", other, "--diff").out
    subprocess.run(
        ["patch", "--binary", "-p1", "-s", "-d", str(other)], input=diff.encode(), check=True, timeout=60
    )
    call("check", ours, "--fix")
    assert content(ours) == content(other)


def test_diff_of_nothing(tmp_path):
    said = call("check", written(tmp_path), "--diff")
    assert (said.code, said.out, said.err) == (0, "", "Nothing to fix.\n")


def test_one_file(tmp_path):
    written(tmp_path, TIGHT, NEEDS)
    said = call("check", tmp_path / "units/f-base.yaml", "--fix")
    assert [line.partition(":")[0] for line in said.err.splitlines()] == ["fixed  units/f-base.yaml"]
    assert b"[relieved, proven]" not in (tmp_path / "change-filter.yaml").read_bytes()


def test_reports_for_programs_stay_whole(tmp_path):
    said = call("check", written(tmp_path, TIGHT), "--fix", "--format", "json")
    assert json.loads(said.out)["counts"]
    assert said.err.startswith("fixed  ")


@pytest.mark.parametrize("option", [["--procedure", "change-filter"], ["--unit", "F-1"]])
def test_it_goes_over_whole_files(tmp_path, option):
    before = content(written(tmp_path, TIGHT))
    said = call("check", tmp_path, "--fix", *option)
    assert (said.code, said.out) == (2, "")
    assert "leave --procedure and --unit away" in said.err
    assert content(tmp_path) == before


class TestNotTouched:
    def test_a_read_only_file(self, tmp_path):
        written(tmp_path, TIGHT, NEEDS)
        (tmp_path / "units/f-base.yaml").chmod(0o444)
        said = call("check", tmp_path, "--fix")
        assert "not fixed  units/f-base.yaml:17: it is read-only (wording/unit-spacing)\n" in said.err
        assert "fixed  change-filter.yaml:9" in said.err
        assert b"1.6%" in (tmp_path / "units/f-base.yaml").read_bytes()

    def test_a_link(self, tmp_path):
        folder = written(tmp_path / "library", TIGHT)
        (folder / ".kept").mkdir()
        (folder / "units/f-base.yaml").rename(folder / ".kept/f-base.yaml")
        (folder / "units/f-base.yaml").symlink_to("../.kept/f-base.yaml")
        said = call("check", folder, "--fix")
        assert "not fixed  units/f-base.yaml:17: it is a link; fix the file that it leads to" in said.err
        assert (folder / "units/f-base.yaml").is_symlink()
        assert b"1.6%" in (folder / ".kept/f-base.yaml").read_bytes()

    def test_a_link_out_of_the_library(self, tmp_path):
        folder = written(tmp_path / "library")
        outside = tmp_path / "outside.yaml"
        outside.write_text(FILES["change-filter.yaml"].replace("10 min", "10min"), "utf-8")
        (folder / "change-filter.yaml").unlink()
        (folder / "change-filter.yaml").symlink_to(outside)
        assert call("check", folder, "--fix").err == "Nothing to fix.\n"
        assert b"10min" in outside.read_bytes()

    def test_a_file_changed_meanwhile(self, tmp_path):
        from proctool.api import open_library, write_fixed

        library = open_library(written(tmp_path, TIGHT))
        fixed = library.fixed()
        (tmp_path / "units/f-base.yaml").write_text("base: mine\n", "utf-8")
        assert write_fixed(tmp_path, fixed) == "units/f-base.yaml was changed meanwhile"
        assert (tmp_path / "units/f-base.yaml").read_text("utf-8") == "base: mine\n"

    def test_all_or_none(self, tmp_path, monkeypatch):
        from proctool.api import open_library, write_fixed
        from proctool.publish import atomic

        library = open_library(written(tmp_path, TIGHT, NEEDS))
        before, fixed, write = content(tmp_path), library.fixed(), atomic.write

        def full(path, data):
            if path.name == "f-base.yaml":
                raise OSError(28, "No space left on device", str(path))
            write(path, data)

        monkeypatch.setattr(atomic, "write", full)
        assert write_fixed(tmp_path, fixed).endswith("f-base.yaml cannot be written: no space left on device")
        assert content(tmp_path) == before


def test_the_mode_of_a_file_stays(tmp_path):
    path = written(tmp_path, TIGHT) / "units/f-base.yaml"
    path.chmod(0o660)
    call("check", tmp_path, "--fix")
    assert path.stat().st_mode & 0o777 == 0o660
