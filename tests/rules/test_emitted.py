"""Every rule that any code of proctool emits has a page, and every page is of a rule that something finds."""

import ast
import re
from pathlib import Path

import pytest

import proctool
from proctool.rules.packs import RULES

PACKAGE = Path(proctool.__file__).parent
PACKS = frozenset(
    {"file", "graph", "unit", "energy", "leak", "chemical", "tables", "wording", "content", "house"}
)
LOOKS_LIKE_A_RULE = re.compile(rf"(?:{'|'.join(sorted(PACKS))})/[a-z][a-z0-9-]*")


def ids_in(folder: Path) -> dict[str, set[str]]:
    """For each text in the code that looks like a rule's id, the modules it stands in."""
    found: dict[str, set[str]] = {}
    for path in sorted(folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            text = node.value if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and LOOKS_LIKE_A_RULE.fullmatch(text):
                found.setdefault(text, set()).add(path.relative_to(folder).as_posix())
    return found


EMITTED = ids_in(PACKAGE)


def own_module(rule):
    return f"rules/{rule.replace('-', '_')}.py"


def has_a_check(rule):
    return any(callable(getattr(rule, field)) for field in rule.__dataclass_fields__)


def test_the_search_finds_ids():
    """One of the reader, one of the resolver, one of the proof, one with a check of its own."""
    for rule, module in {
        "file/yaml": "source/text.py",
        "graph/cycle": "resolve/frames.py",
        "energy/opened-live": "prove/acts.py",
        "leak/no-duration": "rules/leak/no_duration.py",
    }.items():
        assert module in EMITTED[rule]


@pytest.mark.parametrize("rule", sorted(EMITTED))
def test_what_is_emitted_has_a_page(rule):
    assert rule in RULES, f"{', '.join(sorted(EMITTED[rule]))}: there is no page for it"


@pytest.mark.parametrize("rule", RULES)
def test_what_has_a_page_is_found_by_something(rule):
    elsewhere = EMITTED.get(rule, set()) - {own_module(rule)}
    assert has_a_check(RULES[rule]) or elsewhere


@pytest.mark.parametrize("rule", RULES)
def test_a_page_stands_where_its_id_says(rule):
    assert (PACKAGE / own_module(rule)).is_file()
    assert RULES[rule].pack in PACKS
