"""Fills docs/file-format.md from the schemas, docs/rules.md and the README's list from the rules' pages.

`python scripts/reference.py` writes them, `--check` only says whether they are what they should be. The prose
of docs/file-format.md is written by hand; what stands between `<!-- keys: … -->` and `<!-- end -->` is made
here.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

from proctool.model.words import VERBS, Role
from proctool.rules.explain import PAGES, markdown
from proctool.rules.packs import PACKS

ROOT = Path(__file__).parents[1]
FORMAT = ROOT / "docs" / "file-format.md"
RULES = ROOT / "docs" / "rules.md"
README = ROOT / "README.md"
_SECTION = re.compile(r"(<!-- keys: (\S+) -->\n).*?(<!-- end -->)", re.DOTALL)
_LIST = re.compile(r"(<!-- rules -->\n).*?(<!-- end -->)", re.DOTALL)


def file_format(text: str) -> str:
    """The page with every section of keys made anew."""
    return _SECTION.sub(lambda found: found[1] + "\n" + _section(found[2]) + "\n" + found[3], text)


def rules() -> str:
    """The reference of all rules."""
    lines = ["# Rules", "", "Made from the rules' own pages; `proctool explain RULE` shows one.", ""]
    for rule in PAGES.values():
        lines += [f"## {rule.id}", "", markdown(rule)]
    return "\n".join(lines)


def readme(text: str) -> str:
    """The README with its list of rules made anew."""
    lines = [f"- **{pack[0].pack}/** {', '.join(rule.id.split('/')[1] for rule in pack)}" for pack in PACKS]
    return _LIST.sub(lambda found: f"{found[1]}\n" + "\n".join(lines) + f"\n\n{found[2]}", text)


def _section(name: str) -> str:
    """The table of `unit`, of `unit/part` (a definition), of `acts`, or of `forms`."""
    if name == "acts":
        return _acts()
    file, _, inner = name.partition("/")
    schema = json.loads((ROOT / "schemas" / f"{file}.schema.json").read_text(encoding="utf-8"))
    node = schema["$defs"][inner] if inner else schema
    required = set(node.get("required", ()))
    rows = ["| key | what it is |", "| --- | --- |"]
    for key, value in node["properties"].items():
        if file == "steps" and inner == "step" and (key in VERBS or _is_device_word(value)):
            continue
        said = _cell(value.get("description") or value.get("title", ""))
        if "enum" in value:
            said += " One of " + ", ".join(f"`{word}`" for word in value["enum"]) + "."
        rows.append(f"| `{key}`{' (required)' if key in required else ''} | {said} |")
    return "\n".join(rows) + "\n"


def _is_device_word(value: dict[str, Any]) -> bool:
    return str(value.get("$ref", "")).endswith("/act")


def _acts() -> str:
    schema = json.loads((ROOT / "schemas" / "steps.schema.json").read_text(encoding="utf-8"))
    steps = schema["$defs"]["step"]["properties"]
    rows = ["| act | on | what it is |", "| --- | --- | --- |"]
    for verb in VERBS.values():
        roles = [role.value for role in Role if role in verb.roles]
        on = "people" if not roles else "any part but a source" if len(roles) > 5 else ", ".join(roles)
        said = _cell(steps[verb.name].get("description") or verb.phrase)
        rows.append(f"| `{verb.name}` | {on.replace('_', ' ')} | {said} |")
    return "\n".join(rows) + "\n"


def _cell(text: str) -> str:
    """A text for a table: one line, strokes and angle brackets plain."""
    plain = re.sub(r"(?<!`)<(?![^`]*`)", r"\\<", " ".join(text.split()))
    return plain.replace("|", r"\|")


def main() -> int:
    """Write or check both pages; 1 where a checked one is out of date."""
    wanted = {
        FORMAT: file_format(FORMAT.read_text(encoding="utf-8")),
        RULES: rules() + "\n",
        README: readme(README.read_text(encoding="utf-8")),
    }
    stale = [p for p, text in wanted.items() if not p.exists() or p.read_text(encoding="utf-8") != text]
    for path in stale:
        if "--check" in sys.argv:
            print(f"{path.relative_to(ROOT)} is out of date: run python scripts/reference.py")
        else:
            path.write_text(wanted[path], encoding="utf-8")
            print(f"written {path.relative_to(ROOT)}")
    return int(bool(stale) and "--check" in sys.argv)


if __name__ == "__main__":
    sys.exit(main())
