"""The report for code scanning: SARIF 2.1.0, an OASIS standard (Static Analysis Results Interchange Format).

Places are relative, in code points, and hold no path of the machine. A trace is a code flow, each step with
its text and place. A finding that a deviation covers is a suppressed result. Advice is a `note`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import quote

from proctool.model.finding import Finding, Level
from proctool.model.span import Span
from proctool.model.verdict import Judgement
from proctool.report.baseline import FORMAT, fingerprint
from proctool.report.text import unmarked

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_LEVELS = {Level.ERROR: "error", Level.WARNING: "warning", Level.ADVICE: "note"}

Json = dict[str, object]


@dataclass(frozen=True, slots=True)
class About:
    """What the report says of a rule."""

    level: Level
    asks: str
    why: str
    page: str
    """The whole page, in Markdown."""


@dataclass(frozen=True, slots=True)
class Context:
    """What a result needs besides its finding."""

    version: str
    """Of proctool."""
    folder: str
    """Where the library lies below the folder that places are relative to; empty or ending in a stroke."""
    rules: ReadOnly[str, About]
    """Rules by id; one that is not here, such as a company's own, is told by its id alone."""
    lines: ReadOnly[tuple[str, int], str]
    """Lines of files as they stand there, by file and number."""
    steps: ReadOnly[tuple[str, str, str], Span]
    """Where the steps of traces are written, by procedure, unit and step."""


def report(findings: Sequence[Finding], verdicts: Sequence[Judgement], context: Context) -> str:
    """One run with a result for each finding, in their order; the verdicts are in its properties."""
    rules = list(dict.fromkeys(finding.rule for finding in findings))
    run: Json = {
        "tool": {
            "driver": {
                "name": "proctool",
                "version": context.version,
                "rules": [_rule(name, context.rules.get(name)) for name in rules],
            }
        },
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, rules.index(finding.rule), context) for finding in findings],
        "properties": {"verdicts": [_verdict(judgement) for judgement in verdicts]},
    }
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _verdict(judgement: Judgement) -> Json:
    verdict = judgement.verdict.value
    return {"procedure": judgement.procedure, "unit": judgement.unit, "verdict": verdict}


def _rule(name: str, about: About | None) -> Json:
    if about is None:
        return {"id": name, "shortDescription": {"text": "A rule of the library itself."}}
    return {
        "id": name,
        "shortDescription": {"text": about.asks},
        "fullDescription": {"text": about.why},
        "help": {"text": f"{about.asks} {about.why}", "markdown": about.page},
        "defaultConfiguration": {"level": _LEVELS[about.level]},
    }


def _result(finding: Finding, index: int, context: Context) -> Json:
    result: Json = {
        "ruleId": finding.rule,
        "ruleIndex": index,
        "level": _LEVELS[finding.level],
        "message": {"text": " ".join(filter(None, (finding.message, finding.help)))},
        "partialFingerprints": {f"proctool/v{FORMAT}": fingerprint(finding)},
        "properties": _properties(finding),
    }
    place = _place(finding, context)
    if place:
        result["locations"] = [place]
    if finding.related:
        result["relatedLocations"] = [
            {**_at(related.span, context), "message": {"text": related.label}} for related in finding.related
        ]
    if finding.trace:
        result["codeFlows"] = [{"threadFlows": [{"locations": _flow(finding, context)}]}]
    if finding.deviated:
        result["suppressions"] = [
            {"kind": "inSource", "status": "accepted", "justification": finding.message}
        ]
    return result


def _properties(finding: Finding) -> Json:
    named = {
        "procedure": finding.procedure,
        "unit": finding.unit,
        "step": finding.step,
        "part": finding.part,
        "energies": list(finding.energies),
    }
    return {name: value for name, value in named.items() if value}


def _place(finding: Finding, context: Context) -> Json:
    """Where a finding stands: in its file, and in its procedure."""
    place: Json = {}
    if finding.span is not None:
        place = _at(finding.span, context)
    elif finding.file != ".":
        place = {"physicalLocation": {"artifactLocation": _artifact(finding.file, context)}}
    names = [name for name in (finding.procedure, finding.unit, finding.step) if name]
    if names:
        place["logicalLocations"] = [{"name": names[-1], "fullyQualifiedName": "/".join(names)}]
    return place


def _at(span: Span, context: Context) -> Json:
    region: Json = {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }
    line = context.lines.get((span.file, span.line))
    if line is not None and span.line == span.end_line:
        region["snippet"] = {"text": line[span.column - 1 : span.end_column - 1]}
    return {"physicalLocation": {"artifactLocation": _artifact(span.file, context), "region": region}}


def _artifact(file: str, context: Context) -> Json:
    return {"uri": quote(context.folder + file), "uriBaseId": "%SRCROOT%"}


def _flow(finding: Finding, context: Context) -> list[Json]:
    """The trace, step by step."""
    flow: list[Json] = []
    for number, (move, text) in enumerate(zip(finding.trace, finding.told, strict=True), start=1):
        told = unmarked(text) + (" (not so)" if move.passed is False else "")
        location: Json = {"message": {"text": told}, "logicalLocations": [{"fullyQualifiedName": move.step}]}
        span = context.steps.get((finding.procedure or "", finding.unit or "", move.step))
        if span is not None:
            location |= _at(span, context)
        flow.append({"location": location, "executionOrder": number})
    return flow
