"""Where manuals can be written and where not: a sentence and whole files, never a traceback."""

from __future__ import annotations

import os
import time

import pytest

from proctool.publish import atomic
from tests.cli.plant import FILES, call, written

HTML = ("--formats", "html", "--today", "2026-11-25", "--unit", "F-1")


@pytest.fixture
def source(tmp_path):
    return written(tmp_path / "library")


def refused(source, to, about):
    said = call("build", source, "--to", to, *HTML)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"proctool: Cannot write to {about}") and said.err.count("\n") == 1
    return said


def test_a_link_to_a_folder_is_followed(source, tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    assert call("build", source, "--to", tmp_path / "link", *HTML).code == 0
    assert (tmp_path / "real/change-filter/F-1.html").is_file() and (tmp_path / "link").is_symlink()


def test_a_link_in_the_place_of_a_page_is_replaced_and_what_it_led_to_stays(source, tmp_path):
    (tmp_path / "out/change-filter").mkdir(parents=True)
    (tmp_path / "mine").write_text("mine")
    page = tmp_path / "out/change-filter/F-1.html"
    page.symlink_to(tmp_path / "mine")
    assert call("build", source, "--to", tmp_path / "out", *HTML).code == 0
    assert not page.is_symlink() and (tmp_path / "mine").read_text() == "mine"


def test_a_link_that_leads_to_itself(source, tmp_path):
    (tmp_path / "out").symlink_to("out")
    refused(source, tmp_path / "out", tmp_path / "out")


def test_a_folder_where_a_page_must_go(source, tmp_path):
    page = tmp_path / "out/change-filter/F-1.html"
    page.mkdir(parents=True)
    refused(source, tmp_path / "out", page)
    assert page.is_dir() and list(page.parent.iterdir()) == [page]


def test_a_file_where_a_folder_must_be(source, tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out/change-filter").write_text("mine")
    refused(source, tmp_path / "out", tmp_path / "out/change-filter")
    assert (tmp_path / "out/change-filter").read_text() == "mine"


@pytest.mark.parametrize("deep", ["x" * 300, "/".join(["x" * 200] * 25)])
def test_a_name_or_a_path_that_is_too_long(source, tmp_path, deep):
    said = refused(source, tmp_path / deep, tmp_path / deep)
    assert "File name too long" in said.err


@pytest.mark.parametrize("file", ["change-filter.yaml", "units/f-1.yaml"])
def test_a_procedure_or_unit_whose_name_is_too_long_for_a_file(source, tmp_path, file):
    long = "a" * 260
    text = (
        FILES[file]
        .replace("procedure: change-filter", f"procedure: {long}")
        .replace("unit: F-1", f"unit: {long}")
    )
    assert long in text
    (source / file).write_text(text)
    said = call("build", source, "--to", tmp_path / "out", "--formats", "html")
    assert said.code in {1, 2} and "Traceback" not in said.out + said.err
    assert not list((tmp_path / "out").rglob(".proctool-*"))


class TestSetAside:
    """A file set aside by a build that was killed goes with the next build; one still written to stays."""

    def aside(self, folder, age):
        path = folder / ".proctool-x.part"
        path.write_bytes(b"half a pa")
        os.utime(path, (time.time() - age,) * 2)
        return path

    def test_it_goes(self, tmp_path):
        (tmp_path / "below").mkdir()
        left = [self.aside(tmp_path, 60), self.aside(tmp_path / "below", 60)]
        (tmp_path / "other.part").touch()
        atomic.sweep(tmp_path)
        assert [path.exists() for path in left] == [False, False]
        assert (tmp_path / "other.part").exists()

    @pytest.mark.parametrize("age", [60, 90_000])
    def test_one_that_is_still_written_to_stays(self, tmp_path, age):
        fcntl = pytest.importorskip("fcntl")
        left = self.aside(tmp_path, age)
        with left.open("rb") as stream:
            fcntl.flock(stream, fcntl.LOCK_EX)
            atomic.sweep(tmp_path)
            assert left.exists()
        atomic.sweep(tmp_path)
        assert not left.exists()

    def test_one_that_was_just_begun_stays(self, tmp_path):
        left = self.aside(tmp_path, 0)
        atomic.sweep(tmp_path)
        assert left.exists()

    @pytest.mark.parametrize(("age", "stays"), [(60, True), (4000, False)])
    def test_where_there_are_no_locks_an_hour_decides(self, tmp_path, age, stays, monkeypatch):
        def none(*_):
            raise OSError("no locks available")

        monkeypatch.setattr("proctool.publish.atomic.fcntl.flock", none)
        left = self.aside(tmp_path, age)
        atomic.sweep(tmp_path)
        assert left.exists() is stays

    def test_it_is_locked_while_it_is_written_to(self, tmp_path, monkeypatch):
        fsync = os.fsync
        seen = []

        def swept(handle):
            for path in tmp_path.glob(".proctool-*"):
                os.utime(path, (0, 0))
            atomic.sweep(tmp_path)
            seen.append(list(tmp_path.glob(".proctool-*")))
            fsync(handle)

        monkeypatch.setattr("proctool.publish.atomic.os.fsync", swept)
        atomic.write(tmp_path / "page.html", b"whole")
        assert len(seen) == 1 and len(seen[0]) == 1
        assert [path.name for path in tmp_path.iterdir()] == ["page.html"]
