"""The public face: a library opened, checked, resolved and built without the command line."""

import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from proctool import api
from proctool.api import Built, Case, Check, Library, OpenError, open_library
from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from tests.cli.plant import FILES, PROCEDURE, SITE, written

BROKEN = {**FILES, "change-filter.yaml": PROCEDURE.replace("    open: first\n", "    open: frist\n")}
UNSAFE = {
    **FILES,
    "change-filter.yaml": PROCEDURE.replace("  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew"),
}


def test_a_library_on_disk_and_one_from_texts_say_the_same(tmp_path):
    on_disk = open_library(written(tmp_path))
    in_memory = Library.from_texts(FILES)
    assert on_disk.root == tmp_path.resolve() and in_memory.root is None
    assert on_disk.check() == in_memory.check()


def test_the_order_of_the_files_does_not_count():
    backwards = dict(reversed(UNSAFE.items()))
    assert Library.from_texts(backwards).check() == Library.from_texts(UNSAFE).check()


@pytest.mark.parametrize("kind", [str, lambda path: path])
def test_open_takes_texts_and_paths(tmp_path, kind):
    assert open_library(kind(written(tmp_path))).check().passed


def test_what_cannot_be_opened_is_an_error_with_a_sentence(tmp_path):
    with pytest.raises(OpenError, match="holds no YAML files"):
        open_library(tmp_path)


def test_what_is_in_a_library():
    library = Library.from_texts(FILES)
    assert library.file is not None and library.file.name == "Small plant"
    assert list(library.blocks) == ["make-safe"]
    assert list(library.procedures) == ["change-filter"]
    assert dict(library.units.families) == {"F-1": "F", "F-2": "F"}


def test_check():
    check = Library.from_texts(FILES).check()
    assert isinstance(check, Check)
    assert check.passed and check.findings == ()
    assert [(v.procedure, v.unit, v.verdict) for v in check.verdicts] == [
        ("change-filter", "F-1", Verdict.SAFE),
        ("change-filter", "F-2", Verdict.SAFE),
    ]


@pytest.mark.parametrize("files", [BROKEN, UNSAFE], ids=["broken", "unsafe"])
def test_a_check_does_not_pass_with_errors(files):
    check = Library.from_texts(files).check()
    assert not check.passed
    assert any(f.level is Level.ERROR for f in check.findings)
    assert [f.sort_key for f in check.findings] == sorted(f.sort_key for f in check.findings)


def test_a_check_does_not_pass_unproven():
    check = Library.from_texts(FILES).check(budget=3)
    assert not check.passed
    assert {v.verdict for v in check.verdicts} == {Verdict.UNPROVEN}


def test_a_library_without_anything_is_no_fault():
    check = Library.from_texts({"library.yaml": "library: Empty\n"}).check()
    assert (check.library, check.findings, check.verdicts) == ("Empty", (), ())


def test_no_library_file_at_all():
    check = Library.from_texts({k: v for k, v in FILES.items() if k != "library.yaml"}).check()
    assert check.library is None
    assert not check.passed


class TestCases:
    def test_each_procedure_on_each_of_its_units(self):
        library = Library.from_texts(FILES)
        assert [(case.procedure, case.unit) for case in library.cases()] == [
            ("change-filter", "F-1"),
            ("change-filter", "F-2"),
        ]
        (case,) = library.cases(unit="F-2")
        assert isinstance(case, Case)
        assert case.plan is not None and case.proof is not None and not case.faulty
        assert case.to_text().startswith("Change the filter: F-2, Filter 2\nsafe; ")
        assert list(library.cases(procedure="other")) == []

    def test_one_that_cannot_be_resolved(self):
        (case, _) = Library.from_texts(BROKEN).cases()
        assert (case.plan, case.proof, case.to_text()) == (None, None, "")
        assert case.faulty and case.judgement.verdict is Verdict.UNPROVEN
        assert [(f.procedure, f.unit, f.rule) for f in case.findings] == [
            ("change-filter", "F-1", "graph/unknown-name")
        ]

    def test_units_are_taken_as_the_procedure_names_them(self):
        files = {**FILES, "change-filter.yaml": PROCEDURE.replace("units: [F]", "units: [F-2, F]")}
        assert [case.unit for case in Library.from_texts(files).cases()] == ["F-2", "F-1"]

    def test_a_unit_whose_base_is_broken_is_told_once_and_the_procedure_is_not_blamed(self):
        files = {**FILES, "units/f-base.yaml": FILES["units/f-base.yaml"] + "based_on: f-base\n"}
        check = Library.from_texts(files).check()
        assert {f.rule for f in check.findings} == {"file/cycle"}
        assert not check.passed


def test_watching_the_cases_go_by():
    seen = []

    def watch(label, many, cases):
        assert (label, many) == ("proving", 2)
        for case in cases:
            seen.append(case.unit)
            yield case

    assert Library.from_texts(FILES).check(watch=watch).passed
    assert seen == ["F-1", "F-2"]


def test_the_day_changes_nothing_where_nothing_ends_between():
    """No deviation is past its date, and a year of use without an inspection (1910.147(c)(6)) is not over."""
    library = Library.from_texts(FILES)
    assert library.check(today=date(2026, 5, 11)) == library.check(today=date(2027, 5, 11))
    (late,) = library.check(today=date(2027, 5, 12)).findings
    assert (late.rule, late.level) == ("content/inspection-overdue", Level.WARNING)


class TestBuild:
    def test_what_is_written_and_what_is_refused(self, tmp_path):
        built = Library.from_texts(FILES).build(tmp_path, formats=frozenset({"html"}))
        assert isinstance(built, Built)
        assert [p.relative_to(tmp_path).as_posix() for p in built.written] == [
            "change-filter/F-1.html",
            "change-filter/F-2.html",
            "index.html",
        ]
        assert sorted(p.name for p in (*built.around, built.written[-1])) == SITE
        assert built.refused == ()
        assert all(path.is_file() for path in built.written)

    def test_the_unsafe_is_refused(self, tmp_path):
        built = Library.from_texts(UNSAFE).build(tmp_path, formats=frozenset({"html"}))
        assert built.written == ()
        assert [j.verdict for j in built.refused] == [Verdict.UNSAFE, Verdict.UNSAFE]
        assert list(tmp_path.iterdir()) == []

    def test_a_folder_that_cannot_be_written_to(self, tmp_path):
        (tmp_path / "file").write_text("kept")
        with pytest.raises(OSError, match="file"):
            Library.from_texts(FILES).build(tmp_path / "file" / "out", formats=frozenset({"html"}))


def test_every_public_name_is_there_and_the_late_ones_are_told_to_type_checkers_too():
    assert [name for name in api.__all__ if not hasattr(api, name)] == []
    source = Path(api.__file__).read_text(encoding="utf-8")
    told = re.findall(r"^    from (proctool[\w.]*) import (.+)$", source, re.MULTILINE)
    assert {module: names.replace(",", "") for module, names in told} == api._LATER


def test_checking_does_not_wait_for_what_other_commands_need():
    code = "import sys, proctool.cli.check; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    loaded = set(done.stdout.decode().split())
    assert "proctool.library" in loaded
    later = {"networkx", "jsonschema", "pint", "jinja2", "markdown_it", "weasyprint", "proctool.auditing"}
    assert not loaded & later
