"""What the README shows is what proctool does."""

import re
import shutil
from pathlib import Path

import pytest

from proctool.cli.main import _COMMANDS
from tests.shown import differs, shown

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = shown(README)
ISOLATORS = "  - each: {device: {isolators_of: opens}}\n"


@pytest.fixture
def library(tmp_path, monkeypatch):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "procedures"


def test_the_clean_check_is_shown_as_it_is(library):
    assert not differs(SHOWN[0].output, SHOWN[0].real())


def test_the_slip_is_shown_as_it_is(library):
    block = library / "blocks" / "make-safe.yaml"
    text = block.read_text(encoding="utf-8")
    assert text.count(ISOLATORS) == 1
    block.write_text(text.replace(ISOLATORS, f"{ISOLATORS}    only: {{device: valve}}\n"), encoding="utf-8")
    assert not differs(SHOWN[1].output, SHOWN[1].real())


def test_every_command_is_listed():
    assert set(re.findall(r"^\| `proctool (\w+)", README, re.MULTILINE)) == set(_COMMANDS)


def test_links_and_pictures_exist():
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
