"""git is asked for what is stored, and for nothing that a repository would like to have done."""

import os
import subprocess

import pytest

from proctool.source.revision import collect_revision


def git(folder, *words):
    who = ("-c", "user.name=A. Nyone", "-c", "user.email=a@example.org")
    done = subprocess.run(["git", *who, *words], cwd=folder, capture_output=True, text=True, check=True)
    return done.stdout.strip()


@pytest.fixture
def library(tmp_path):
    home = tmp_path / "library"
    home.mkdir()
    (home / "library.yaml").write_text("library: L\n")
    git(home, "init", "-q")
    git(home, "add", "-A")
    git(home, "commit", "-qm", "First issue")
    return home


@pytest.fixture
def asked(monkeypatch):
    """Each call of git, as (words, environment)."""
    calls, run = [], subprocess.run

    def noted(call, **told):
        calls.append((call, told["env"]))
        return run(call, **told)

    monkeypatch.setattr(subprocess, "run", noted)
    return calls


def test_the_settings_of_a_repository_are_overruled_in_every_call(library, asked):
    assert collect_revision(library, "HEAD").problem is None
    assert len(asked) > 2
    for call, environment in asked:
        assert call[:8] == [
            *("git", "--no-pager", "-c", "core.fsmonitor=false", "-c", f"core.hooksPath={os.devnull}"),
            *("-c", "safe.bareRepository=explicit"),
        ]
        assert (environment["GIT_NO_LAZY_FETCH"], environment["GIT_ALLOW_PROTOCOL"]) == ("1", "none")


def test_an_object_is_not_replaced_by_another(library):
    """`refs/replace` comes with a repository, and would show another file than the one of that hash."""
    (library / "library.yaml").write_text("library: another\n")
    git(
        library,
        "replace",
        git(library, "rev-parse", "HEAD:library.yaml"),
        git(library, "hash-object", "-w", "library.yaml"),
    )
    assert git(library, "show", "HEAD:library.yaml") == "library: another", "the trap would not have closed"
    assert collect_revision(library, "HEAD").files == {"library.yaml": b"library: L\n"}


def test_a_folder_laid_out_like_a_repository_is_none(library, tmp_path):
    """It could be unpacked with a library, and its settings are those of whoever packed it."""
    inner = tmp_path / "unpacked"
    inner.mkdir()
    git(inner, "init", "-q", "--bare")
    (inner / "library.yaml").write_text("library: L\n")
    assert git(inner, "rev-parse", "--is-bare-repository") == "true"
    found = collect_revision(inner, "HEAD")
    assert found.problem.startswith(f"{inner} lies in no git repository that can be read: ")


def test_an_answer_that_does_not_come_is_given_up(library, monkeypatch):
    def never(call, **told):
        raise subprocess.TimeoutExpired(call, told["timeout"])

    monkeypatch.setattr(subprocess, "run", never)
    assert collect_revision(library, "HEAD").problem.endswith(" git gave no answer within 60 seconds.")


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can give a folder to somebody else")
def test_a_repository_of_another_user_says_how_to_trust_it(library):
    for place in (library, *library.rglob("*")):
        os.chown(place, 4_242, 4_242)
    assert collect_revision(library, "HEAD").problem == (
        f"{library} lies in no git repository that can be read: it belongs to another user, so git does not "
        f"trust it. Where you do: git config --global --add safe.directory {library}"
    )
