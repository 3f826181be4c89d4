"""The report for people at a terminal: each fault with its place, what to do, and the shortest way to it."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence

from proctool.model.finding import Finding, Level, Move
from proctool.model.verdict import Judgement, Verdict

Paint = Callable[[str, str], str]
"""(text, what it is) → the text, coloured where the terminal shows colour."""

WIDTH = 80
_MOST = 8
"""Findings shown unless all are asked for: more than a screenful is not read."""
_TRACE = 6
"""Steps of a trace that are shown, the last ones."""

_WORDS = {
    Verdict.SAFE: "safe",
    Verdict.SAFE_WITH_DEVIATIONS: "safe with deviations",
    Verdict.UNSAFE: "UNSAFE",
    Verdict.UNPROVEN: "NOT PROVEN",
}


def plain(text: str, kind: str) -> str:
    """A `Paint` without colour."""
    return text


def report(
    findings: Sequence[Finding],
    verdicts: Sequence[Judgement],
    *,
    everything: bool = False,
    paint: Paint = plain,
) -> str:
    """Findings, then a line for each verdict, then the counts."""
    merged = _merged(findings)
    shown = merged if everything else merged[:_MOST]
    parts = [_finding(finding, units, paint) for finding, units in shown]
    if len(shown) < len(merged):
        parts.append(f"… and {len(merged) - len(shown)} more. `--all` shows them.\n")
    if verdicts:
        parts.append("".join(_verdict(judgement, verdicts, paint) for judgement in verdicts))
    parts.append(_summary(findings, verdicts, paint))
    return "\n".join(parts)


def _merged(findings: Sequence[Finding]) -> list[tuple[Finding, tuple[str, ...]]]:
    """The same fault on several units is told once, with the units."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        key = (finding.rule, finding.span, finding.file, finding.step, finding.part, finding.message)
        groups.setdefault(key, []).append(finding)
    return [(group[0], tuple(f.unit for f in group if f.unit)) for group in groups.values()]


def _finding(finding: Finding, units: tuple[str, ...], paint: Paint) -> str:
    place = str(finding.span) if finding.span else finding.file
    lines = [f"{paint(place, 'place')}  {paint(finding.level.value, finding.level.value)}  {finding.rule}"]
    where = " · ".join(x for x in (finding.step or "", ", ".join(units)) if x)
    lines += _wrapped(finding.message)
    if finding.help:
        lines += _wrapped(finding.help)
    for related in finding.related:
        lines += _wrapped(f"{related.span}: {related.label}")
    if where:
        lines += _wrapped(f"Step: {where}" if finding.step else f"Unit: {where}")
    if finding.trace:
        lines += _wrapped(f"Shortest way there: {_trace(finding.trace)}")
    return "\n".join(lines) + "\n"


def _trace(trace: Sequence[Move]) -> str:
    told = [move.step + (" (fails)" if move.passed is False else "") for move in trace[-_TRACE:]]
    before = len(trace) - len(told)
    return " → ".join(([f"{before} steps"] if before else []) + told)


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent="    ", subsequent_indent="    ", break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip


def _verdict(judgement: Judgement, verdicts: Sequence[Judgement], paint: Paint) -> str:
    procedure = max(len(v.procedure) for v in verdicts)
    unit = max(len(v.unit) for v in verdicts)
    word = paint(f"{_WORDS[judgement.verdict]:<12}", judgement.verdict.value)
    names = f"{judgement.procedure:<{procedure}}  {judgement.unit:<{unit}}"
    return f"{names}  {word}  {explored(judgement)}\n"


def verdict_words(verdict: Verdict) -> str:
    """A verdict as people read it."""
    return _WORDS[verdict]


def explored(judgement: Judgement) -> str:
    """How much stands behind a verdict, in words."""
    if not judgement.states:
        return "could not be resolved"
    many = judgement.verdict is not Verdict.UNPROVEN
    orders = f"{judgement.orders:,}" if judgement.orders is not None else "more than can be counted"
    told = f"all orders: {orders}" if many else f"orders: {orders}"
    return f"{told}, states looked at: {judgement.states:,}"


def _summary(findings: Sequence[Finding], verdicts: Sequence[Judgement], paint: Paint) -> str:
    counts = {level: sum(f.level is level for f in findings) for level in Level}
    words = {Level.ERROR: "error", Level.WARNING: "warning", Level.ADVICE: "piece of advice"}
    plural = {Level.ERROR: "errors", Level.WARNING: "warnings", Level.ADVICE: "pieces of advice"}
    told = [f"{n} {words[level] if n == 1 else plural[level]}" for level, n in counts.items() if n]
    safe = sum(v.verdict in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS} for v in verdicts)
    proven = f"{safe} of {len(verdicts)} proven safe" if verdicts else "nothing to prove"
    text = f"{', '.join(told) or 'No faults found'}; {proven}."
    return paint(text, "error" if counts[Level.ERROR] or not verdicts else "safe") + "\n"
