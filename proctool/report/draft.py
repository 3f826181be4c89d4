"""`draft` for programs: the ways that are proven safe, or what the unit lacks."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proctool.model.finding import Finding
from proctool.model.verdict import Judgement
from proctool.report.json import finding_data, verdict_data


@dataclass(frozen=True, slots=True)
class Drawn:
    """One way of isolating the parts, written down and checked."""

    text: str
    isolators: str
    disturbs: tuple[str, ...]
    verdicts: tuple[Judgement, ...]
    findings: tuple[Finding, ...]


def to_json(
    unit: str,
    parts: Sequence[str],
    ways: Iterable[Drawn],
    lacks: Sequence[str],
    unsafe: Sequence[Finding],
) -> str:
    """The ways, the least first; where there is none, what the unit lacks or what is wrong with the nearest.

    `{"unit", "open": [ids], "ways": [{"way", "isolators": in words, "without": [sentences], "verdicts",
    "findings", "draft": text of the file}], "lacks": [sentences], "unsafe": [findings]}`; `way` is what
    `--way` takes, verdicts and findings are as those of check.
    """
    whole = {
        "unit": unit,
        "open": list(parts),
        "ways": [{"way": number, **_way(way)} for number, way in enumerate(ways, start=1)],
        "lacks": list(lacks),
        "unsafe": [finding_data(finding) for finding in unsafe],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _way(way: Drawn) -> dict[str, object]:
    return {
        "isolators": way.isolators,
        "without": list(way.disturbs),
        "verdicts": [verdict_data(judgement) for judgement in way.verdicts],
        "findings": [finding_data(finding) for finding in way.findings],
        "draft": way.text,
    }
