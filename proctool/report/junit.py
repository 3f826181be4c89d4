"""The report for servers that run checks: JUnit's XML, a suite for each procedure, a case for each unit.

The format has no standard; this keeps to what the schema of Jenkins takes (`junit-10.xsd`, which the tests
hold it against). Errors are failures, and so is a case that is not proven; warnings and advice stand in the
output. Of findings about no procedure there is a suite with a case for each file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from xml.etree import ElementTree as ET

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement, Verdict
from proctool.report.text import unmarked

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_PROVEN = frozenset({Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS})


def report(
    library: str | None,
    findings: Sequence[Finding],
    verdicts: Sequence[Judgement],
    files: Iterable[str] = (),
) -> str:
    """`files` are those that were read; one without findings is a case that passed."""
    whole = ET.Element("testsuites", name=_clean(library or "library"))
    of_files = [finding for finding in findings if finding.procedure is None]
    suite = ET.SubElement(whole, "testsuite", name="files")
    for file in sorted({*files, *(finding.file for finding in of_files)}):
        _case(suite, file, [finding for finding in of_files if finding.file == file], None)
    concerned = [f.procedure for f in findings if f.procedure is not None]
    for procedure in dict.fromkeys([*(v.procedure for v in verdicts), *concerned]):
        suite = ET.SubElement(whole, "testsuite", name=_clean(procedure))
        own = [finding for finding in findings if finding.procedure == procedure]
        _case(suite, "as written", [finding for finding in own if finding.unit is None], None)
        judged = {verdict.unit: verdict for verdict in verdicts if verdict.procedure == procedure}
        for unit in dict.fromkeys([*judged, *(f.unit for f in own if f.unit is not None)]):
            _case(suite, unit, [finding for finding in own if finding.unit == unit], judged.get(unit))
    for suite in whole:
        _count(suite, suite.iter("testcase"))
    _count(whole, whole.iter("testcase"))
    ET.indent(whole)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(whole, encoding="unicode")}\n'


def _case(suite: ET.Element, name: str, findings: Sequence[Finding], judgement: Judgement | None) -> None:
    case = ET.SubElement(suite, "testcase", name=_clean(name), classname=suite.get("name", ""))
    errors = [finding for finding in findings if finding.level is Level.ERROR]
    others = [finding for finding in findings if finding.level is not Level.ERROR]
    unproven = judgement is not None and judgement.verdict not in _PROVEN
    if errors or unproven:
        verdict = judgement.verdict.value if judgement is not None else "error"
        kinds = sorted({finding.rule for finding in errors})
        many = f"{len(errors)} error{'' if len(errors) == 1 else 's'}"
        told = errors[0].message if len(errors) == 1 else f"{many}: {', '.join(kinds)}" if errors else verdict
        failure = ET.SubElement(case, "failure", type=", ".join(kinds) or verdict, message=_clean(told))
        failure.text = _clean(
            "\n".join(_words(finding) for finding in errors) or f"The verdict is {verdict}."
        )
    if others:
        ET.SubElement(case, "system-out").text = _clean("\n".join(_words(finding) for finding in others))


def _words(finding: Finding) -> str:
    """Place, rule, what is wrong, what to do, and each step of the way to it."""
    place = str(finding.span) if finding.span is not None else finding.file
    step = f" ({finding.step})" if finding.step is not None else ""
    lines = [f"{place} {finding.level.value} {finding.rule}{step}", f"  {finding.message}"]
    lines += [f"  {finding.help}"] if finding.help else []
    for number, (move, text) in enumerate(zip(finding.trace, finding.told, strict=True), start=1):
        lines.append(f"  {number}. {unmarked(text)}{' (not so)' if move.passed is False else ''}")
    return "\n".join(lines)


def _count(element: ET.Element, cases: Iterable[ET.Element]) -> None:
    found = list(cases)
    failed = sum(case.find("failure") is not None for case in found)
    element.attrib |= {"tests": str(len(found)), "failures": str(failed), "errors": "0"}


def _clean(text: str) -> str:
    """A text without signs that XML cannot hold."""
    return _NOT_XML.sub("\ufffd", text)
