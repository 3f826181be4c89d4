"""Which files make a library."""

import os
import stat
import time
from pathlib import Path

import pytest

from proctool.source import files as module
from proctool.source.files import collect

LIBRARY = "library: Mine\n"
BLOCK = "block: b\nsteps: [{do: Go.}]\n"


@pytest.fixture
def home(tmp_path):
    """A library with a block in a sub-folder, inside a folder that is none."""
    root = tmp_path / "procedures"
    (root / "blocks").mkdir(parents=True)
    (root / "library.yaml").write_text(LIBRARY)
    (root / "blocks" / "b.yaml").write_text(BLOCK)
    return root


def said(collected):
    return [(finding.file, finding.rule, finding.message) for finding in collected.findings]


def test_a_folder_is_read_whole(home):
    found = collect(home)
    assert found.root == home.resolve()
    assert found.files == {"library.yaml": LIBRARY.encode(), "blocks/b.yaml": BLOCK.encode()}
    assert (found.focus, found.findings, found.problem) == (None, (), None)


def test_a_file_or_sub_folder_means_its_library(home):
    assert collect(home / "blocks" / "b.yaml").focus == "blocks/b.yaml"
    for path in (home / "blocks" / "b.yaml", home / "blocks", home / "library.yaml"):
        assert set(collect(path).files) == {"library.yaml", "blocks/b.yaml"}
        assert collect(path).root == home.resolve()


def test_the_path_may_be_relative(home, monkeypatch):
    monkeypatch.chdir(home / "blocks")
    assert set(collect(Path()).files) == {"library.yaml", "blocks/b.yaml"}


@pytest.mark.parametrize(
    "first",
    [
        "library: x\n",
        "# note\n\nlibrary: x\n",
        "\ufeff--- # c\n'library': x\n",
        "%YAML 1.1\n---\nlibrary : x\n",
    ],
)
def test_the_library_file_is_known_by_its_first_key(tmp_path, first):
    (tmp_path / "any.yml").write_text(first, encoding="utf-8")
    assert collect(tmp_path).problem is None


def test_a_broken_library_file_is_still_the_library_file(tmp_path):
    (tmp_path / "library.yaml").write_bytes(b"\xff\xfe\x00")
    assert set(collect(tmp_path).files) == {"library.yaml"}


def test_what_is_hidden_or_built_is_skipped(home):
    for folder in (".git", "build", "figures", "blocks/build", "blocks/.x"):
        (home / folder).mkdir()
        (home / folder / "x.yaml").write_text(BLOCK)
    (home / ".hidden.yaml").write_text(BLOCK)
    (home / "notes.txt").write_text("x")
    assert set(collect(home).files) == {"library.yaml", "blocks/b.yaml"}


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda p: p / "nowhere", "There is nothing at"),
        (lambda p: p, "holds no YAML files"),
        (lambda p: (p / "b.yaml").write_text(BLOCK) and p, "no file that starts with `library:`"),
        (lambda p: (p / "library.yaml").write_text(BLOCK) and p, "no file that starts with `library:`"),
        (lambda p: (p / "a.txt").write_text("x") and p / "a.txt", "is no YAML file"),
    ],
)
def test_what_is_no_library_says_what_to_do(tmp_path, make, words):
    found = collect(make(tmp_path))
    assert found.problem is not None
    assert words in found.problem
    assert "library.yaml" in found.problem
    assert (found.files, found.findings) == ({}, ())


def test_the_library_one_folder_below_is_offered(home):
    problem = collect(home.parent).problem
    assert problem is not None
    assert f"{home.parent / 'procedures'} has. Give that folder." in problem


def test_a_file_in_a_skipped_folder_is_no_part_of_the_library(home):
    (home / "build").mkdir()
    (home / "build" / "b.yaml").write_text(BLOCK)
    problem = collect(home / "build" / "b.yaml").problem
    assert problem is not None
    assert "no part of the library" in problem


def test_a_file_of_50_mb_is_not_read(home):
    with (home / "big.yaml").open("wb") as stream:
        stream.truncate(50_000_000)
    start = time.perf_counter()
    found = collect(home)
    assert time.perf_counter() - start < 1
    assert said(found) == [
        ("big.yaml", "file/limit", "The file has 47.7 MiB; files may have 1024 KiB. Split it.")
    ]
    assert set(found.files) == {"library.yaml", "blocks/b.yaml"}
    assert collect(home / "big.yaml").problem is None


def test_too_many_files_are_a_limit(home, monkeypatch):
    monkeypatch.setattr(module, "MAX_FILES", 3)
    for number in range(5):
        (home / f"{number}.yaml").write_text(BLOCK)
    found = collect(home)
    assert said(found) == [
        (".", "file/limit", "The library has more than 3 files; the rest was not read. Split it.")
    ]
    assert len(found.files) == 3


def test_too_many_bytes_are_a_limit(home, monkeypatch):
    monkeypatch.setattr(module, "MAX_TOTAL", len(LIBRARY) + len(BLOCK) - 1)
    assert [rule for _, rule, _ in said(collect(home))] == ["file/limit"]


def test_links_that_lead_out_are_not_followed(home):
    outside = home.parent / "outside.yaml"
    outside.write_text(BLOCK)
    (home / "out.yaml").symlink_to(outside)
    (home / "folder").symlink_to(home.parent)
    found = collect(home)
    assert [(file, rule) for file, rule, _ in said(found)] == [
        ("folder", "file/limit"),
        ("out.yaml", "file/limit"),
    ]
    assert set(found.files) == {"library.yaml", "blocks/b.yaml"}


def test_links_that_lead_to_nothing_are_told(home):
    """Whoever made the link takes what it stood for as checked."""
    (home / "gone.yaml").symlink_to(home / "nowhere.yaml")
    (home / "circle.yaml").symlink_to(home / "circle.yaml")
    (home / "circle").symlink_to(home / "circle")
    found = collect(home)
    assert found.problem is None
    assert [(file, rule) for file, rule, _ in said(found)] == [
        ("circle.yaml", "file/limit"),
        ("gone.yaml", "file/limit"),
    ]
    assert set(found.files) == {"library.yaml", "blocks/b.yaml"}


def test_a_link_inside_is_read_unless_its_file_is_read_anyway(home):
    (home / ".data").mkdir()
    (home / ".data" / "c.yaml").write_text("block: c\nsteps: [{do: Go.}]\n")
    (home / "c.yaml").symlink_to(home / ".data" / "c.yaml")
    (home / "again.yaml").symlink_to(home / "blocks" / "b.yaml")
    (home / "loop").symlink_to(home)
    assert set(collect(home).files) == {"library.yaml", "blocks/b.yaml", "c.yaml"}


def test_a_pipe_is_not_waited_for(home):
    os.mkfifo(home / "pipe.yaml")
    assert [(file, rule) for file, rule, _ in said(collect(home))] == [("pipe.yaml", "file/limit")]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_a_finding(home):
    (home / "blocks" / "b.yaml").chmod(stat.S_IWUSR)
    assert [(file, rule) for file, rule, _ in said(collect(home))] == [("blocks/b.yaml", "file/yaml")]


def test_a_name_that_is_not_utf_8_is_a_finding(home):
    try:
        (home / os.fsdecode(b"\xff.yaml")).write_text(BLOCK)
    except OSError:
        pytest.skip("this file system takes no such name")
    assert said(collect(home)) == [
        ("\ufffd.yaml", "file/limit", "The name of this file is not UTF-8; rename it.")
    ]
