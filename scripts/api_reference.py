"""Fills docs/api.md from the docstrings of the public names.

`python scripts/api_reference.py` writes it, `--check` only says whether it is what it should be. What stands
above `<!-- names -->` is written by hand. Names are read from the sources by griffe, nothing is run.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import griffe

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "api.md"
_MADE = re.compile(r"(<!-- names -->\n).*\Z", re.DOTALL)

SUBJECTS = {
    "Open, check, build": "open_library OpenError Library Check Case Built FORMATS write_file",
    "Baselines": "read_baseline write_baseline Baseline BaselineError",
    "Fixes": "Fixed unified write_fixed",
    "Slips": "Slips SlipWatch",
    "Units and tables": "surveyed Surveyed tabled tabled_given Tabled Given",
    "Draft": "draft DraftOrder Drafted write_draft",
    "Adapt": "adapted answers_in Adaptation AdaptError",
    "Compare": "compared Compared CompareError",
    "Audit": "audited Audits AUDIT_FORMATS",
    "Begin": "new_library NotEmptyError start_unit NewUnit Fluid Named named UNIT_WORDS "
    "start_procedure start_round Started",
    "Rules": "RULES PAGES explained listed",
    "Who does the work": "Means Watch crew Crew open_store Cluster Papers ClusterError",
}
"""The public names of `proctool.api` by what they are for."""


def page(text: str) -> str:
    """The page with all names made anew."""
    api = griffe.load("proctool", search_paths=[ROOT])["api"]
    public = {str(name) for name in api.exports}
    told = {name for names in SUBJECTS.values() for name in names.split()}
    if public != told:
        raise SystemExit(
            f"scripts/api_reference.py: SUBJECTS and `__all__` differ in {sorted(public ^ told)}"
        )
    lines = []
    for subject, names in SUBJECTS.items():
        lines += [f"## {subject}", ""]
        for name in names.split():
            lines += _entry(api[name].final_target if api[name].is_alias else api[name])
    made = "\n".join(lines).rstrip() + "\n"
    return _MADE.sub(lambda found: f"{found[1]}\n{made}", text)


def _entry(named: griffe.Object) -> Iterator[str]:
    """One public name: how it is called, what it is, its members."""
    yield from (f"### `{named.name}`", "")
    if isinstance(named, griffe.Attribute):
        yield from _prose(named)
        return
    if isinstance(named, griffe.Function):
        yield from ("```python", _call(named), "```", "")
        yield from _prose(named)
        return
    members = [
        member.final_target if member.is_alias else member
        for member in named.all_members.values()
        if not member.name.startswith("_")
    ]
    start = named.all_members.get("__init__")
    if start is not None and start.is_alias:
        start = start.final_target
    made = start if isinstance(start, griffe.Function) and "dataclass" not in named.labels else None
    if made is not None:
        yield from ("```python", _call(made, named.name), "```", "")
    yield from _prose(named)
    if made is not None:
        yield from _prose(made)
    taken = {one.name: one.annotation for one in made.parameters} if made is not None else {}
    attributes = [m for m in members if m.is_attribute]
    if attributes:
        yield from ("| attribute | type | what it is |", "| --- | --- | --- |")
        for member in attributes:
            said = " ".join(member.docstring.value.split()) if member.docstring else ""
            kind = str(member.annotation or taken.get(member.name) or "").replace("|", r"\|")
            yield f"| `{member.name}` | {f'`{kind}`' if kind else ''} | {_plain(said)} |"
        yield ""
    for member in members:
        if member.is_function:
            yield from (f"#### `{named.name}.{member.name}`", "", "```python", _call(member), "```", "")
            yield from _prose(member)


def _call(function: griffe.Function, name: str = "") -> str:
    """How a function is called, on lines of their own where it takes much."""
    line = function.signature(name=name or function.name, return_type=not name)
    line = re.sub(r"\((?:self|cls)(?:, )?", "(", line, count=1)
    if len(line) <= 100:
        return line
    head, _, rest = line.partition("(")
    inner, _, tail = rest.rpartition(")")
    parts = re.split(r", (?![^\[(]*[\])])", inner)
    return f"{head}(\n" + "".join(f"    {part},\n" for part in parts) + f"){tail}"


def _prose(named: griffe.Object | griffe.Alias) -> Iterator[str]:
    """What a docstring says, with what is raised as a list."""
    if named.docstring is None:
        return
    for part in named.docstring.parse("google"):
        if part.kind is griffe.DocstringSectionKind.text:
            yield from (_plain(part.value), "")
        elif part.kind is griffe.DocstringSectionKind.raises:
            yield "Raises:"
            yield ""
            for fault in part.value:
                yield f"- `{fault.annotation}`: {' '.join(fault.description.split())}"
            yield ""


def _plain(text: str) -> str:
    """A text for a page: strokes would end a cell, angle brackets begin a tag."""
    return re.sub(r"(?<!`)<(?![^`]*`)", r"\\<", text).replace("|", r"\|")


def main() -> int:
    """Write or check the page; 1 where a checked one is out of date."""
    now = PAGE.read_text(encoding="utf-8")
    wanted = page(now)
    if wanted == now:
        return 0
    if "--check" in sys.argv:
        print(f"{PAGE.relative_to(ROOT)} is out of date: run python scripts/api_reference.py")
        return 1
    PAGE.write_text(wanted, encoding="utf-8")
    print(f"written {PAGE.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
