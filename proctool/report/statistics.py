"""How many findings of each rule and pack, and how many cases of each verdict; every unit counts."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement, Verdict


def to_data(findings: Sequence[Finding], verdicts: Sequence[Judgement]) -> dict[str, object]:
    """For programs: `cases` by verdict, `packs` and `rules` with a count for each level, the most first."""
    return {
        "cases": {
            "all": len(verdicts),
            **{v.value: sum(judgement.verdict is v for judgement in verdicts) for v in Verdict},
        },
        "packs": [{"pack": name, **counts} for name, counts in _counted(findings, _pack)],
        "rules": [{"rule": name, **counts} for name, counts in _counted(findings, _rule)],
    }


def to_text(findings: Sequence[Finding], verdicts: Sequence[Judgement]) -> str:
    """For people: rules under their pack, in columns, and a line about the cases."""
    lines = []
    if findings:
        width = max(len(finding.rule) for finding in findings)
        heads = [f"{level.value:>8}" for level in Level]
        lines.append(f"{'rule':<{width}}{''.join(heads)}     all")
        rules = _counted(findings, _rule)
        for pack, counts in _counted(findings, _pack):
            lines.append(_row(f"{pack}/", counts, width))
            lines += [
                _row(f"  {r.partition('/')[2]}", c, width) for r, c in rules if r.startswith(f"{pack}/")
            ]
        lines += [_row("all", _counts(findings), width), ""]
    told = [f"{n:,} {v.value.replace('_', ' ')}" for v in Verdict if (n := _cases(verdicts, v))]
    cases = f"{len(verdicts):,} case{'' if len(verdicts) == 1 else 's'}"
    lines.append(f"{cases}{': ' if told else ''}{', '.join(told)}.")
    return "\n".join(lines) + "\n"


def _row(name: str, counts: dict[str, int], width: int) -> str:
    numbers = [*counts.values(), sum(counts.values())]
    return f"{name:<{width}}" + "".join(f"{n or '·':>8}" for n in numbers)


def _cases(verdicts: Sequence[Judgement], verdict: Verdict) -> int:
    return sum(judgement.verdict is verdict for judgement in verdicts)


def _counted(findings: Sequence[Finding], name: Callable[[Finding], str]) -> list[tuple[str, dict[str, int]]]:
    """Findings by a name of theirs, each name with a count for each level; the most first."""
    groups: dict[str, list[Finding]] = {}
    for finding in findings:
        groups.setdefault(name(finding), []).append(finding)
    return [(n, _counts(g)) for n, g in sorted(groups.items(), key=lambda row: (-len(row[1]), row[0]))]


def _rule(finding: Finding) -> str:
    return finding.rule


def _pack(finding: Finding) -> str:
    return finding.rule.partition("/")[0]


def _counts(findings: Sequence[Finding]) -> dict[str, int]:
    return {level.value: sum(f.level is level for f in findings) for level in Level}
