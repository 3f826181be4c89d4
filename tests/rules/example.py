"""The library that rule pages and fixtures are tried on: one unit, two blocks, a clean procedure.

An example on a page is part of a procedure (`steps:`, `opens:`, `tables:` …); `unit:`, `library:` and
`blocks:` in it are laid over the unit, over library.yaml, and beside the blocks; `key: ~` takes a key away;
`other_unit:` is one more unit; `file: |` is the whole text of a procedure's file, for faults that only the
text shows. A fixture is a whole file, or several separated by `---`, that stand beside or in place of those
here.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import yaml

from proctool.api import Library
from proctool.model.finding import Finding
from proctool.results import Check

HERE = Path(__file__).parent / "example"
TODAY_IN_TESTS = "2026-06-01"
BUDGET = 5_000
"""Enough for every example but the one that shows what a spent budget looks like."""


def clean() -> dict[str, str]:
    """The files of the example library by path."""
    return {
        path.relative_to(HERE).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(HERE.rglob("*.yaml"))
    }


def on_page(example: str) -> dict[str, str]:
    """The library with one example of a rule's page in it."""
    files = clean()
    said = _load(example)
    if isinstance(said, list):
        said = {"steps": said}
    unit = said.pop("unit", None)
    library = said.pop("library", None)
    text = said.pop("file", None)
    other = said.pop("other_unit", None)
    blocks = said.pop("blocks", {})
    if unit is not None:
        files["unit.yaml"] = _dump(_over(_load(files["unit.yaml"]), unit))
    if library is not None:
        files["library.yaml"] = _dump(_over(_load(files["library.yaml"]), library))
    for name, steps in blocks.items():
        files[f"{name}.yaml"] = _dump({"block": name, **steps})
    if other is not None:
        files["other.yaml"] = _dump(other)
    if text is not None:
        files["procedure.yaml"] = text
    if said:
        whole = {**_load(files["procedure.yaml"]), **said}
        files["procedure.yaml"] = _dump({key: value for key, value in whole.items() if value != "~"})
    return files


def fixture(text: str) -> tuple[dict[str, str], set[tuple[str, int, str]]]:
    """The library with the files of a fixture in it, and the findings that its marks expect.

    A mark stands on the line above the one with the finding: `# expect: energy/opened-live`.
    """
    files, written = clean(), {}
    expected: set[tuple[str, int, str]] = set()
    for document in re.split(r"^---\n", text, flags=re.MULTILINE):
        found = re.search(r"^(library|unit|base|block|procedure): *(\S+)", document, re.MULTILINE)
        assert found, "each file of a fixture says what it is"
        kind, name = found.groups()
        path = f"{kind}.yaml" if kind in {"library", "unit", "procedure"} else f"{name}.yaml"
        path = f"{name}.yaml" if path in written else path
        files[path] = written[path] = document
        for number, line in enumerate(document.splitlines(), start=1):
            if mark := re.match(r"\s*# expect: (.+)", line):
                after = number + 1
                while re.match(r"\s*# expect:", document.splitlines()[after - 1]):
                    after += 1
                expected |= {(path, after, rule.strip()) for rule in mark[1].split(",")}
    return files, expected


STYLE = frozenset({"wording", "content"})
"""Packs about how a procedure is written: fixtures of other packs are about acts and stay short."""
_ALWAYS = frozenset({"wording/cut-text", "content/deviation-expired", "content/deviation-unused"})


def check(files: dict[str, str]) -> Check:
    """Everything that proctool finds, on a fixed day; pictures are those of the example library."""
    from datetime import date

    texts = {file: text.encode() for file, text in files.items()}
    return Library(texts, root=HERE).check(today=date.fromisoformat(TODAY_IN_TESTS), budget=BUDGET)


def without_style(check: Check, but: str = "") -> Check:
    """What was found, without the rules about style except those of the pack `but`."""
    others = STYLE - {but}
    kept = (f for f in check.findings if f.rule in _ALWAYS or f.rule.partition("/")[0] not in others)
    return replace(check, findings=tuple(kept))


def found_for(rule: str, files: dict[str, str]) -> tuple[Finding, ...]:
    """What proctool finds, without the rules about style, unless the rule is of that pack."""
    return without_style(check(files), but=rule.partition("/")[0]).findings


def _load(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506 - the safest of them: all scalars stay text


def _dump(data: object) -> str:
    return yaml.dump(data, sort_keys=False, allow_unicode=True, width=10_000)


def _over(lower: dict, upper: dict) -> dict:
    result = {key: value for key, value in lower.items() if upper.get(key) != "~"}
    for key, value in upper.items():
        if value == "~":
            continue
        below = lower.get(key)
        result[key] = _over(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return result
