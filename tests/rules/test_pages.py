"""Every rule has a whole page, and both its examples do what the page says."""

import pytest

from proctool.rules.packs import PACKS, RULES
from proctool.rules.page import parse
from tests.rules import example


def test_the_example_library_is_clean():
    check = example.check(example.clean())
    assert check.findings == ()
    assert [v.verdict.value for v in check.verdicts] == ["safe"]


def test_ids_are_unique():
    ids = [rule.id for pack in PACKS for rule in pack]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("rule", RULES.values(), ids=list(RULES))
class TestPage:
    def test_is_whole(self, rule):
        page = parse(rule)
        assert page.asks.endswith(".")
        assert page.source
        assert page.why.endswith(".")

    def test_the_bad_example_breaks_it(self, rule):
        found = {f.rule for f in example.check(example.on_page(parse(rule).bad)).findings}
        assert rule.id in found

    def test_the_good_example_keeps_it(self, rule):
        found = {f.rule for f in example.check(example.on_page(parse(rule).good)).findings}
        assert rule.id not in found
        assert not {name for name in found if name.startswith("file/")}
