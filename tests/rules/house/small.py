"""Small procedures on the example unit, and what is found in them."""

from __future__ import annotations

from proctool.api import Library
from proctool.model.finding import Finding
from tests.rules import example

CREW = "{crew: [unaware, told, running], glasses: [off, worn]}"
HEAD = "procedure: example\ntitle: Work\nunits: [EX-1]\nsteps:\n"


def library(rules: str = "", more: str = "") -> str:
    said = f"house_rules:\n{rules}" if rules else ""
    return f"library: Example\nconditions: {CREW}\n{more}{said}"


def check(steps: str, rules: str = "", more: str = "", files: dict[str, str] | None = None) -> list[Finding]:
    texts = {
        **example.clean(),
        "library.yaml": library(rules, more),
        "procedure.yaml": HEAD + steps,
        **(files or {}),
    }
    return list(Library.from_texts(texts).check().findings)


def of(found: list[Finding], *rules: str) -> list[tuple[str, str | None]]:
    return [(f.rule, f.step) for f in found if f.rule in rules or f.rule.startswith(rules)]


def house(steps: str, rule: str) -> list[str | None]:
    """The steps at which the one house rule is broken; None at the end."""
    found = check(steps, f"  - {{id: r, say: Do it right., {rule}}}\n")
    assert not [f.message for f in found if f.rule.startswith("file/")]
    return [f.step for f in found if f.rule == "house/r"]
