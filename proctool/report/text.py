"""The report for people at a terminal: each fault with its place, what to do, and the shortest way to it."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Callable, Sequence

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement, Verdict

Paint = Callable[[str, str], str]
"""(text, what it is) → the text, coloured where the terminal shows colour."""

WIDTH = 80
_MOST = 8
"""Findings shown unless all are asked for: more than a screenful is not read."""
_ALIKE = 3
"""Findings shown of one rule in one file."""
_TRACE = 5
"""Steps of a trace that are shown unless everything is asked for, the last ones."""

_MADE_PLAIN = re.compile(r"\\([!-/:-@\[-`{-~])")
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
    merged = sorted(_merged(findings), key=lambda group: not _of_file(group[0]))
    shown = merged if everything else _first(merged)
    parts = [_finding(group, everything, paint) for group in shown]
    if len(shown) < len(merged):
        parts.append(f"… and {len(merged) - len(shown)} more. `--all` shows them.\n")
    if verdicts:
        parts.append("".join(_verdict(judgement, verdicts, paint) for judgement in verdicts))
    parts.append(_summary([group[0] for group in merged], verdicts, paint))
    return "\n".join(parts)


def _merged(findings: Sequence[Finding]) -> list[list[Finding]]:
    """The same fault on several units, or where a check leads back to the same steps, is told once."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        key = (finding.rule, finding.span, finding.file, finding.part, finding.message)
        groups.setdefault(key, []).append(finding)
    return list(groups.values())


def _of_file(finding: Finding) -> bool:
    """Faults of files come first, whatever the file is called: others may only follow from them."""
    return finding.rule.startswith("file/") or finding.rule == "wording/cut-text"


def _first(merged: Sequence[list[Finding]]) -> list[list[Finding]]:
    """The first faults, few of one rule in one file: they mostly come of one slip."""
    alike: Counter[tuple[str, str]] = Counter()
    shown: list[list[Finding]] = []
    for group in merged:
        kind = group[0].file, group[0].rule
        alike[kind] += 1
        if alike[kind] <= _ALIKE and len(shown) < _MOST:
            shown.append(group)
    return shown


def _finding(group: Sequence[Finding], everything: bool, paint: Paint) -> str:
    """One fault: place and rule, what is wrong, what to do, where, and how it comes to that."""
    finding = min(group, key=lambda f: (len(f.trace), f.sort_key))
    place = str(finding.span) if finding.span else finding.file
    lines = [f"{paint(place, 'place')}  {paint(finding.level.value, finding.level.value)}  {finding.rule}"]
    lines += _wrapped(finding.message)
    if finding.help:
        lines += _wrapped(finding.help)
    for related in finding.related:
        lines += _wrapped(f"{related.span}: {related.label}")
    lines += _wrapped(_where(finding, group))
    if finding.trace:
        lines += _trace(finding, everything)
    return "\n".join(lines) + "\n"


def _where(finding: Finding, group: Sequence[Finding]) -> str:
    """The units concerned, and the step or steps."""
    units = sorted({f.unit for f in group if f.unit})
    steps = {f.step for f in group if f.step}
    said = [", ".join(units)] if units else []
    if finding.step:
        more = len(steps) - 1
        said.append(finding.step + (f" and {more} more like it" if more else ""))
    elif finding.trace:
        said.append("at the end")
    return " · ".join(said)


def _trace(finding: Finding, everything: bool) -> list[str]:
    """The shortest way to a fault, a line or two for each step; the step that breaks is marked."""
    whole = list(enumerate(zip(finding.trace, finding.told, strict=True), start=1))
    shown = whole if everything else whole[-_TRACE:]
    lines = [f"    How it comes to that, in {len(whole)} step{'s' if len(whole) > 1 else ''}:"]
    if len(shown) < len(whole):
        before = len(whole) - len(shown)
        lines.append(f"         … {before} step{'s' if before > 1 else ''} before")
    for number, (move, told) in shown:
        mark = ">" if move.step == finding.step and number == len(whole) else " "
        text = unmarked(told) + (" (not so)" if move.passed is False else "")
        lines += textwrap.wrap(
            text,
            WIDTH,
            initial_indent=f"    {mark}{number:>3} ",
            subsequent_indent=" " * 9,
            break_long_words=False,
            break_on_hyphens=False,
        )
    return lines


def unmarked(text: str) -> str:
    """A filled text as a terminal shows it: signs that were made plain for CommonMark, without their mark."""
    return _MADE_PLAIN.sub(r"\1", text)


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
