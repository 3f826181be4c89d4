"""What the README shows is what proctool does."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from proctool.cli.main import _COMMANDS, main
from proctool.rules.packs import RULES

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```\n\$ proctool check procedures\n(.*?)```", README, re.DOTALL)
VENTS = """\
  - each: {way_out: {vents_of: opens}}
    steps:
      - vent: way_out
"""


@pytest.fixture
def library(tmp_path, monkeypatch):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "procedures"


def test_the_clean_check_is_shown_as_it_is(library):
    assert CliRunner().invoke(main, ["check", "procedures"]).output == SHOWN[0]


def test_the_slip_is_shown_as_it_is(library):
    block = library / "blocks" / "make-safe.yaml"
    text = block.read_text(encoding="utf-8")
    assert VENTS in text
    block.write_text(text.replace(VENTS, "  - vent: V4\n"), encoding="utf-8")
    assert CliRunner().invoke(main, ["check", "procedures"]).output == SHOWN[1]


def test_every_command_is_listed():
    assert set(re.findall(r"^\| `proctool (\w+)", README, re.MULTILINE)) == set(_COMMANDS)


def test_every_rule_of_the_proof_is_listed():
    section = README.split("## Rules")[1].split("## Limits")[0]
    for rule in RULES:
        assert re.search(rf"\b{rule.split('/')[1]}\b", section), rule


def test_links_and_pictures_exist():
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
