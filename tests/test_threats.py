"""docs/threats.md holds: its tests exist, its limits are those of the code; and what no other test shows."""

from __future__ import annotations

import ast
import csv
import io
import os
import re
import subprocess
from functools import cache
from importlib import import_module
from itertools import pairwise
from pathlib import Path

import pytest
import yaml

from proctool.kept.store import home
from proctool.publish.atomic import write
from proctool.report.spreadsheet import PARTS, RUN, harmless, to_csv
from proctool.source.revision import collect_revision
from tests.cli.plant import call, written
from tests.cli.test_adapt import adapt, drafted

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "docs/threats.md").read_text(encoding="utf-8")
TEST = re.compile(r"`(tests/[\w/]+\.py)::([\w:]+)`")
SIZES = {"KiB": 1024, "MiB": 1024**2, "GiB": 1024**3}


def rows(columns: int) -> list[list[str]]:
    """The rows of all tables of the page with so many columns, their heads left out."""
    lines = [line.strip("|").split(" | ") for line in PAGE.splitlines() if line.startswith("| ")]
    heads = [line for line, below in pairwise(lines) if set("".join(below)) <= set("- ")]
    return [
        line
        for line in lines
        if len(line) == columns and line not in heads and set("".join(line)) - set("- ")
    ]


@cache
def defined_in(file: str) -> frozenset[str]:
    """The tests that a file defines, by name or by class and name."""
    found = set()
    for node in ast.parse((ROOT / file).read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ClassDef):
            found |= {
                f"{node.name}::{inner.name}" for inner in node.body if isinstance(inner, ast.FunctionDef)
            }
        elif isinstance(node, ast.FunctionDef):
            found.add(node.name)
    return frozenset(found)


class TestPage:
    @pytest.mark.parametrize(("file", "name"), sorted(set(TEST.findall(PAGE))))
    def test_every_test_it_names_is_there(self, file, name):
        assert name.rpartition("::")[2].startswith("test_")
        assert name in defined_in(file)

    def test_every_guard_is_shown_by_a_test(self):
        assert PAGE.count("`tests/") == len(TEST.findall(PAGE))
        guards = rows(3)
        assert (len(guards) > 25, len(rows(4)) > 15) == (True, True)
        assert [row[0] for row in guards if not TEST.search(row[2])] == []

    @pytest.mark.parametrize("row", rows(4), ids=lambda row: row[0].strip())
    def test_every_limit_is_that_of_the_code(self, row):
        _, told, where, shown = row
        module, _, name = where.strip(" `").rpartition(".")
        number, _, measure = told.strip().replace(",", "").partition(" ")
        assert int(number) * SIZES.get(measure, 1) == getattr(import_module(module), name)
        assert TEST.search(shown)

    def test_it_is_linked(self):
        for file in ("README.md", "DEVELOPERS.md"):
            assert "(docs/threats.md)" in (ROOT / file).read_text(encoding="utf-8"), file


class TestSpreadsheets:
    @pytest.mark.parametrize("sign", RUN)
    @pytest.mark.parametrize("before", ["", " ", '"', *PARTS, "a;", 'a; "'])
    def test_what_could_begin_a_formula_stands_behind_an_apostrophe(self, sign, before):
        made = harmless(f"{before}{sign}1+2")
        assert made.replace("'", "") == f"{before}{sign}1+2"
        for part in re.split(f"[{''.join(PARTS)}]", made):
            assert not part.strip(' "').startswith(RUN)

    @pytest.mark.parametrize("text", ["", "a", "V1 = V2", "a-b; c+d", "1 V1; 2 V2", "it's", "no. 5"])
    def test_other_texts_stay_as_they_are(self, text):
        assert harmless(text) == text

    @pytest.mark.parametrize(("text", "number"), [("-1.5", "-1.5"), ("\N{MINUS SIGN}3", "-3"), ("12", "12")])
    def test_numbers_stay_numbers(self, text, number):
        assert harmless(text) == number

    def test_no_cell_runs_where_lists_are_parted_by_semicolons(self):
        """A name such as this once began a cell of its own there."""
        text = to_csv([["housing;=1+2", 'pump;"=3', "a, =4\nb"]])
        for sign in (",", ";"):
            cells = [
                cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=sign) for cell in row
            ]
            assert len(cells) > 1
            assert not [cell for cell in cells if cell.strip(' "').startswith(RUN)]


def git(folder, *words):
    who = ("-c", "user.name=A. Nyone", "-c", "user.email=a@example.org")
    return subprocess.run(["git", *who, *words], cwd=folder, capture_output=True, text=True, check=False)


@pytest.fixture
def repository(tmp_path):
    library = written(tmp_path / "library")
    for words in (("init", "-q"), ("add", "-A"), ("commit", "-qm", "First issue")):
        assert git(library, *words).returncode == 0
    return library


class TestGit:
    @pytest.mark.parametrize("word", ["--help", "--output=made", "-p", "--all", "--exec-path", "--", "-"])
    def test_no_revision_is_an_option(self, repository, word):
        before = sorted(repository.rglob("*"))
        found = collect_revision(repository, word)
        assert found.problem == (
            f"There is no revision `{word}` in the git repository of {repository}. `git log` lists them."
        )
        assert (dict(found.files), sorted(repository.rglob("*"))) == ({}, before)

    def test_a_repository_cannot_have_git_run_anything(self, repository, tmp_path, monkeypatch):
        """Its settings name programs, and an object is missing that git would fetch by one of them."""
        ran = tmp_path / "ran"
        for name, value in {
            "core.repositoryFormatVersion": "1",
            "extensions.partialClone": "origin",
            "remote.origin.promisor": "true",
            "remote.origin.url": f"ext::touch {ran}",
            "protocol.ext.allow": "always",
            "core.pager": f"touch {ran}; cat",
            "core.fsmonitor": f"touch {ran}; false",
            "filter.all.smudge": f"touch {ran}; cat",
        }.items():
            assert git(repository, "config", name, value).returncode == 0
        (repository / ".git/info/attributes").write_text("* filter=all\n")
        tree = git(repository, "rev-parse", "HEAD:units").stdout.strip()
        (repository / ".git/objects" / tree[:2] / tree[2:]).unlink()
        monkeypatch.delenv("GIT_NO_LAZY_FETCH", raising=False)
        assert collect_revision(repository, "HEAD").problem is not None
        assert not ran.exists()
        git(repository, "cat-file", "-p", tree)
        assert ran.exists(), "the trap would not have closed"

    def test_nothing_in_the_environment_leads_git_elsewhere(self, repository, tmp_path, monkeypatch):
        monkeypatch.setenv("GIT_DIR", os.fspath(tmp_path / "elsewhere"))
        found = collect_revision(repository, "HEAD")
        assert (found.problem, "library.yaml" in found.files) == (None, True)


@pytest.mark.parametrize(
    "damage", [Path.unlink, lambda file: file.write_bytes(b"no database" * 999)], ids=["gone", "damaged"]
)
def test_what_is_kept_may_be_lost(tmp_path, damage):
    check = ("check", written(tmp_path), "--format", "json", "--today", "2026-06-01")
    before = call(*check)
    assert before.code == 0
    damage(home()[0])
    assert call(*check) == before
    assert home()[0].is_file()


class TestFolders:
    def test_a_link_that_stands_for_a_page_is_replaced_not_followed(self, tmp_path):
        outside = tmp_path / "outside"
        outside.write_text("theirs")
        (tmp_path / "out").mkdir()
        (tmp_path / "out/page.html").symlink_to(outside)
        write(tmp_path / "out/page.html", b"ours")
        assert outside.read_text() == "theirs"
        assert not (tmp_path / "out/page.html").is_symlink()

    def test_every_page_has_a_policy_that_lets_nothing_in(self, tmp_path):
        library, out = written(tmp_path / "library"), tmp_path / "out"
        assert call("build", library, "--to", out, "--formats", "html", "--today", "2026-06-01").code == 0
        assert call("audit", library, "--to", out, "--formats", "html", "--today", "2026-06-01").code == 0
        pages = list(out.rglob("*.html"))
        assert len(pages) > 4
        for page in pages:
            text = page.read_text(encoding="utf-8")
            policies = re.findall(r'http-equiv="Content-Security-Policy"\s+content="([^"]*)"', text)
            assert len(policies) == 1, page
            assert policies[0].startswith("default-src 'none'; style-src 'sha256-"), page
            assert "unsafe" not in policies[0] and "http" not in policies[0], page
            assert text.index("Content-Security-Policy") < text.index("<style>"), page


def test_an_answer_stays_one_text(tmp_path):
    """What would be a key of its own on the next line of the draft stays in the quotes of the answer."""
    answers = tmp_path / "answers.yaml"
    answers.write_text(
        "adapt: change-filter\nto: G-1\nanswers:\n  time: 15 min\n  revision date: 2026-06-02\n"
        '  revision by: "A. N\\nunits: [F-1]\\n  x: y"\n'
    )
    adapt(tmp_path, more=("--answers", answers))
    draft = yaml.safe_load(drafted(tmp_path))
    assert draft["units"] == ["G-1"]
    assert draft["revisions"][0]["by"] == "A. N\nunits: [F-1]\n  x: y"
