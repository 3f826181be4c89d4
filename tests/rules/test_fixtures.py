"""Every rule has a bad fixture with its findings on the very lines, and a good one without any."""

from pathlib import Path

import pytest

from proctool.rules.packs import RULES
from tests.rules import example

HERE = Path(__file__).parent


@pytest.mark.parametrize("rule", RULES)
class TestFixture:
    def test_bad(self, rule):
        files, expected = example.fixture((HERE / rule / "bad.yaml").read_text(encoding="utf-8"))
        assert any(name == rule for _, _, name in expected), "the fixture shows its own rule"
        found = {(f.file, f.span.line if f.span else 0, f.rule) for f in example.found_for(rule, files)}
        assert found == expected

    def test_good(self, rule):
        files, expected = example.fixture((HERE / rule / "good.yaml").read_text(encoding="utf-8"))
        assert not expected
        assert [(str(f.span), f.rule, f.message) for f in example.found_for(rule, files)] == []
