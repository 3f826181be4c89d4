"""The tutorial, done from its first command to its last: each prints what the page shows."""

import re
import shutil
from pathlib import Path

import pytest

from tests.shown import differs, files, shown

ROOT = Path(__file__).parent.parent
PAGE = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")
SHOWN = shown(PAGE)


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """What each command really prints, in a fresh copy of the library; and where that was."""
    folder = tmp_path_factory.mktemp("kw-8")
    shutil.copytree(ROOT / "procedures", folder / "procedures")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setenv("HOME", str(folder))
        for name, text in files(PAGE).items():
            (folder / name).write_text(text, encoding="utf-8")
        yield [one.real() for one in SHOWN], folder


@pytest.mark.parametrize("number", range(len(SHOWN)), ids=[" ".join(one.words[1:4]) for one in SHOWN])
def test_every_output_is_as_shown(told, number):
    assert differs(SHOWN[number].output, told[0][number]) == ""


def test_it_goes_from_new_to_a_manual_by_these_commands_alone():
    assert PAGE.count("$ proctool") == sum(one.words[0] == "proctool" for one in SHOWN)
    called = dict.fromkeys(one.words[1] for one in SHOWN if one.words[0] == "proctool")
    assert list(called) == ["new", "check", "show", "draft", "adapt", "build"]


def test_the_manual_is_written_and_locks_all_four_valves(told):
    manual = told[1] / "manuals" / "change-cartridges-kw-8" / "KW-8.html"
    text = manual.read_text(encoding="utf-8")
    for valve in ("inlet valve V1", "bypass valve V9", "first tank valve V3", "second tank valve V6"):
        assert f"Put your lock and tag on the {valve}" in re.sub(r"<[^>]*>|\s+", " ", text).replace("  ", " ")


def test_pictures_and_links_exist():
    for target in re.findall(r"\]\(([^)#:]+)\)", PAGE):
        assert (ROOT / "docs" / target).exists(), target


@pytest.mark.parametrize(
    ("told", "real", "first"),
    [
        ("a\nb\n", "a\nb\n", ""),
        ("a\n…\nc\n", "a\nb\nc\n", ""),
        ("a\n…\n", "a\nb\n", ""),
        ("…\nc\n", "a\nc\n", ""),
        ("a\n", "a\nb\n", "a\n"),
        ("a\n…\nb\n", "a\nb\nc\n", "b\n"),
        ("a\n…\nc\n…\nb\n", "a\nb\nc\n", "b\n"),
        ("a\n…\nb\n", "a\nab\n", "b\n"),
    ],
)
def test_a_wrong_output_is_seen(told, real, first):
    assert differs(told, real) == first
