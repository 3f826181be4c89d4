"""What the README shows is what proctool does."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from proctool.cli.main import _COMMANDS, main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```\n\$ proctool (.*?)\n(.*?)```", README, re.DOTALL)
ISOLATORS = "  - each: {device: {isolators_of: opens}}\n"


@pytest.fixture
def library(tmp_path, monkeypatch):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "procedures"


def run(shown):
    """What a command prints on a day on which no inspection of the demonstration library is overdue."""
    return CliRunner().invoke(main, [*shown[0].split(), "--today", "2026-11-25"]).output


def test_the_clean_check_is_shown_as_it_is(library):
    assert run(SHOWN[0]) == SHOWN[0][1]


def test_the_slip_is_shown_as_it_is(library):
    block = library / "blocks" / "make-safe.yaml"
    text = block.read_text(encoding="utf-8")
    assert text.count(ISOLATORS) == 1
    block.write_text(text.replace(ISOLATORS, f"{ISOLATORS}    only: {{device: valve}}\n"), encoding="utf-8")
    assert run(SHOWN[1]) == SHOWN[1][1]


def test_every_command_is_listed():
    assert set(re.findall(r"^\| `proctool (\w+)", README, re.MULTILINE)) == set(_COMMANDS)


def test_links_and_pictures_exist():
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
