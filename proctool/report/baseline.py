"""A baseline: the findings of a library that stand on one day, so that only what comes new is told.

It is JSON, to be kept beside the library and read in review. A finding is known again by its rule, level,
file, procedure, unit, step, part and message, not by its line; as often as it was counted.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TypeGuard

from proctool.model.finding import Finding, Level
from proctool.report.columns import harmless, wrapped

FORMAT = 1
"""Raised when what a finding is known by changes."""
_SHOWN = 40
"""Signs of a wrong value that a message shows."""
_KEYS = ("rule", "level", "file", "procedure", "unit", "step", "part", "message")

Key = tuple[str | None, ...]
"""What a finding is known by, in the order of `_KEYS`."""


@dataclass(frozen=True, slots=True)
class Baseline:
    """The findings of one library that are known; what is not hashable in it is never changed."""

    library: str
    known: Counter[Key] = field(default_factory=Counter)

    def to_text(self) -> str:
        """The file: a line for each finding, in a fixed order."""
        rows = [
            "    " + json.dumps({**dict(zip(_KEYS, key, strict=True)), "count": count}, ensure_ascii=False)
            for key, count in sorted(self.known.items(), key=lambda row: [part or "" for part in row[0]])
        ]
        head = f'{{\n  "baseline": {FORMAT},\n  "library": {json.dumps(self.library, ensure_ascii=False)},\n'
        return head + '  "findings": [\n' + ",\n".join(rows) + ("\n" if rows else "") + "  ]\n}\n"


@dataclass(frozen=True, slots=True)
class Sifted:
    """Findings held against a baseline."""

    left: tuple[Finding, ...]
    """Those that it does not hold, in their order."""
    known: int
    """How many it holds."""
    mended: int
    """How many it holds that are not found any more."""
    refused: int
    """How many of those left it names although none may hold them."""


def key(finding: Finding) -> Key:
    """What a finding is known by: all but its line, its trace and what would mend it."""
    return (
        finding.rule,
        finding.level.value,
        finding.file,
        finding.procedure,
        finding.unit,
        finding.step,
        finding.part,
        finding.message,
    )


def fingerprint(finding: Finding) -> str:
    """The same as a short text that holds no words of the library."""
    return sha256(json.dumps(key(finding)).encode()).hexdigest()[:32]


def taken(library: str, findings: Iterable[Finding], lasting: Collection[Finding]) -> Baseline:
    """The baseline of a library as it stands; `lasting` are the findings that none may hold."""
    return Baseline(library, Counter(key(finding) for finding in findings if finding not in lasting))


def sift(findings: Iterable[Finding], baseline: Baseline, lasting: Collection[Finding]) -> Sifted:
    """Take out what a baseline knows, as often as it does."""
    open_, left = baseline.known.copy(), []
    known = refused = 0
    for finding in findings:
        found = open_[key(finding)] > 0
        open_[key(finding)] -= found
        if found and finding not in lasting:
            known += 1
        else:
            refused += found
            left.append(finding)
    return Sifted(tuple(left), known, sum(open_.values()), refused)


def notes(sifted: Sifted, *, whole: bool, width: int) -> str:
    """What a baseline did, in sentences; what is mended can be told of a whole library only."""
    told = [f"{_many(sifted.known, 'finding')} of the baseline {_is(sifted.known)} not shown."]
    if sifted.mended and whole:
        entries = f"{_many(sifted.mended, 'entry', 'entries')} {_is(sifted.mended)}"
        told.append(f"{entries} mended: `--write-baseline` writes it anew.")
    if sifted.refused:
        entries = f"{_many(sifted.refused, 'entry', 'entries')} of it"
        told.append(f"{entries} may not be held: what keeps a case from being proven stays in sight.")
    return "\n".join(wrapped(" ".join(told), width)) + "\n"


def _many(count: int, one: str, more: str = "") -> str:
    return f"{count:,} {one if count == 1 else more or one + 's'}"


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def read(text: str) -> Baseline | str:
    """The baseline that a file holds, or what is wrong with it in words."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return "it is no JSON"
    if not isinstance(data, dict) or "baseline" not in data:
        return "it is no baseline"
    if data["baseline"] != FORMAT:
        said = harmless(str(data["baseline"]))[:_SHOWN]
        return f"it is of format `{said}`, this proctool reads {FORMAT}"
    library, rows = data.get("library"), data.get("findings")
    if not _is_text(library) or not isinstance(rows, list):
        return "its `library` or its `findings` are missing"
    known: Counter[Key] = Counter()
    for number, row in enumerate(rows, start=1):
        if not isinstance(row, dict) or not _whole(row):
            return f"its finding {number} is not as proctool writes one"
        known[tuple(row[name] for name in _KEYS)] += row["count"]
    return Baseline(library, known)


def _whole(row: dict[str, object]) -> bool:
    """Whether a row has all that a finding is known by, and a count."""
    count = row.get("count")
    texts = all(_is_text(row.get(name)) for name in ("rule", "file", "message"))
    rest = all(name in row and (row[name] is None or _is_text(row[name])) for name in _KEYS)
    return texts and rest and row["level"] in set(Level) and type(count) is int and count > 0


def _is_text(value: object) -> TypeGuard[str]:
    """Whether a value is a text that a file can hold: JSON can say half of a character."""
    return isinstance(value, str) and not any("\ud800" <= sign <= "\udfff" for sign in value)
