"""The report for people: file by file, each fault with its line, what to do, and how it comes to that."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field
from itertools import groupby

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement, Verdict
from proctool.report.columns import around, columns, harmless, padded, wrapped
from proctool.report.story import advice, told, ways

Paint = Callable[[str, str], str]
"""(text, what it is) → the text, coloured where the terminal shows colour."""

WIDTH = 80
"""Columns of a report, unless the terminal is narrower: longer lines are hard to read."""
_LABEL = 9
"""Columns of the words at the left; longer ones push their text aside."""
_MOST = 8
"""Findings shown unless all are asked for: more than a screenful is not read."""
_ALIKE = 2
"""Findings shown of one rule in one file."""

_MORE = "`--explain` tells every step, `proctool explain RULE` why a rule asks that."
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


@dataclass(frozen=True, slots=True)
class Style:
    """How a report is shown."""

    everything: bool = False
    """All findings, not only the first ones."""
    explain: bool = False
    """Every step of a trace in words, not its steps on one line."""
    width: int = WIDTH
    paint: Paint = plain
    lines: ReadOnly[tuple[str, int], str] = field(default_factory=dict)
    """Lines of files by file and number, as they stand there."""


def report(
    findings: Sequence[Finding],
    verdicts: Sequence[Judgement],
    style: Style = Style(),
    more: Sequence[str] = (),
) -> str:
    """Findings by file, then a line for each verdict, whatever more there is to say, and the counts."""
    merged = _by_file(_merged(findings))
    shown = merged if style.everything else _first(merged)
    parts = []
    for file, groups in groupby(shown, key=lambda group: group[0].file):
        name = style.paint("the library" if file == "." else harmless(file), "place")
        first, *rest = (_finding(group, style) for group in groups)
        parts += [f"{name}\n{first}", *rest]
    if len(shown) < len(merged):
        parts.append(f"… and {len(merged) - len(shown)} more. `--all` shows them.\n")
    if not style.explain and any(finding.trace for group in shown for finding in group):
        parts.append("".join(line + "\n" for line in wrapped(_MORE, style.width)))
    if verdicts:
        parts.append(_verdicts(verdicts, style.paint))
    parts += more
    parts.append(_summary([group[0] for group in merged], verdicts, style.paint))
    return "\n".join(parts)


def _merged(findings: Sequence[Finding]) -> list[list[Finding]]:
    """The same fault on several units, or where a check leads back to the same steps, is told once."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        key = (finding.rule, finding.span, finding.file, finding.part, finding.message)
        groups.setdefault(key, []).append(finding)
    return list(groups.values())


def _by_file(merged: Sequence[list[Finding]]) -> list[list[Finding]]:
    """Files that could not be read as they should come first: other faults may only follow from theirs."""
    faulty = {group[0].file for group in merged if _of_file(group[0])}
    return sorted(merged, key=lambda g: (g[0].file not in faulty, g[0].file, not _of_file(g[0])))


def _of_file(finding: Finding) -> bool:
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


def _finding(group: Sequence[Finding], style: Style) -> str:
    """One fault: what is wrong, its line, what to do, where, how it comes to that, and the rule."""
    finding = min(group, key=lambda f: (len(f.trace), f.sort_key))
    level = finding.level.value
    rows = _row(style.paint(padded(level, _LABEL), level), finding.message, style)
    rows += _place(finding, style)
    for text in advice(group):
        rows += _row("do", text, style)
    for related in finding.related:
        rows += _row("see", f"{related.span}, {related.label}", style)
    rows += _row("on", _where(finding, group), style)
    rows += _how(finding, style)
    rows += _row("rule", f"{finding.rule} · {finding.span or finding.file}", style)
    return "\n".join(rows) + "\n"


def _row(label: str, text: str, style: Style) -> list[str]:
    """A text with a word at its left; nothing where there is no text."""
    indent = " " * (_LABEL + 3)
    lines = wrapped(text, style.width - len(indent))
    return [f"  {padded(label, _LABEL)} {lines[0]}", *(indent + line for line in lines[1:])] if lines else []


def _place(finding: Finding, style: Style) -> list[str]:
    """The line as it stands in the file, the place marked below it."""
    if finding.span is None:
        return []
    start = f"  {padded(f'line {finding.span.line}', _LABEL)} "
    line = style.lines.get((finding.span.file, finding.span.line))
    if line is None or not line.strip():
        return [start.rstrip()]
    text, before = around(line, finding.span.column - 1, style.width - len(start))
    return [start + text, " " * (len(start) + before) + style.paint("^", finding.level.value)]


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


def _how(finding: Finding, style: Style) -> list[str]:
    """By which way the energy comes, and the steps to the fault: by name on one line, or each in words."""
    rows = [row for way in ways(finding) for row in _row("way", way, style)]
    many = len(finding.trace)
    if not many:
        return rows
    heading = f"in {many} step{'s' if many > 1 else ''}:"
    if not style.explain:
        room = style.width - _LABEL - 3 - columns(heading) - 1
        return [*rows, *_row("how", f"{heading} {_folded(_names(finding), room)}", style)]
    return [*rows, *_row("how", heading, style), *_told(finding, style)]


def _told(finding: Finding, style: Style) -> Iterator[str]:
    """Every step of a trace in words, numbered, with what it changed; the one that breaks is marked."""
    for step in told(finding):
        start = f"{'>' if step.breaks else '':>{_LABEL - 1}}{step.number:>3} "
        first, *more = wrapped(unmarked(step.text), style.width - len(start))
        yield start + first
        yield from (" " * len(start) + line for line in more)
        for change in step.more:
            first, *more = wrapped(change, style.width - len(start) - 4)
            yield f"{' ' * len(start)}  · {first}"
            yield from (" " * (len(start) + 4) + line for line in more)


def _names(finding: Finding) -> list[str]:
    """The steps of a trace by the end of their ids, as much of it as tells one from the others."""
    ids = [move.step for move in finding.trace]
    whole = set(ids)
    names = []
    for step, move in zip(ids, finding.trace, strict=True):
        parts = step.split("/")
        ends = ("/".join(parts[-n:]) for n in range(1, len(parts)))
        name = next((e for e in ends if sum(("/" + i).endswith("/" + e) for i in whole) == 1), step)
        names.append(name + (" (not so)" if move.passed is False else ""))
    return names


def _folded(names: Sequence[str], room: int) -> str:
    """The first names and the last, so many as there is room for; always the last one."""
    head, tail = 0, 1
    while head + tail < len(names):
        grown = (head, tail + 1) if tail <= head else (head + 1, tail)
        if columns(_joined(names, *grown)) > room:
            break
        head, tail = grown
    return _joined(names, head, tail)


def _joined(names: Sequence[str], head: int, tail: int) -> str:
    left_out = ["…"] if head + tail < len(names) else []
    return " → ".join([*names[:head], *left_out, *names[len(names) - tail :]])


def unmarked(text: str) -> str:
    """A filled text as a terminal shows it: signs that were made plain for CommonMark, without their mark."""
    return _MADE_PLAIN.sub(r"\1", text)


def _verdicts(verdicts: Sequence[Judgement], paint: Paint) -> str:
    """A line for each case, in columns."""
    procedure = max(columns(v.procedure) for v in verdicts)
    unit = max(columns(v.unit) for v in verdicts)
    lines = []
    for v in verdicts:
        word = paint(f"{_WORDS[v.verdict]:<12}", v.verdict.value)
        lines.append(f"{padded(v.procedure, procedure)}  {padded(v.unit, unit)}  {word}  {explored(v)}\n")
    return "".join(lines)


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
