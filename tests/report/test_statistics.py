"""Counts of findings by rule and pack, of cases by verdict."""

from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.report.statistics import to_data, to_text
from tests.report.things import BARE, FULL, fault, judged

FINDINGS = [BARE, FULL, fault(), fault(4), fault(5, level=Level.ADVICE), fault(rule="graph/act-unfit")]
VERDICTS = [judged(), judged(unit="U-2"), judged(unit="U-3", verdict=Verdict.UNSAFE)]


def test_for_programs():
    assert to_data(FINDINGS, VERDICTS) == {
        "cases": {"all": 3, "safe": 2, "safe_with_deviations": 0, "unsafe": 1, "unproven": 0},
        "packs": [
            {"pack": "graph", "error": 3, "warning": 0, "advice": 1},
            {"pack": "energy", "error": 1, "warning": 0, "advice": 0},
            {"pack": "file", "error": 1, "warning": 0, "advice": 0},
        ],
        "rules": [
            {"rule": "graph/unknown-name", "error": 2, "warning": 0, "advice": 1},
            {"rule": "energy/opened-live", "error": 1, "warning": 0, "advice": 0},
            {"rule": "file/limit", "error": 1, "warning": 0, "advice": 0},
            {"rule": "graph/act-unfit", "error": 1, "warning": 0, "advice": 0},
        ],
    }


def test_for_people():
    assert to_text(FINDINGS, VERDICTS) == (
        "rule                 error warning  advice     all\n"
        "graph/                   3       ·       1       4\n"
        "  unknown-name           2       ·       1       3\n"
        "  act-unfit              1       ·       ·       1\n"
        "energy/                  1       ·       ·       1\n"
        "  opened-live            1       ·       ·       1\n"
        "file/                    1       ·       ·       1\n"
        "  limit                  1       ·       ·       1\n"
        "all                      5       ·       1       6\n"
        "\n"
        "3 cases: 2 safe, 1 unsafe.\n"
    )


def test_of_nothing():
    assert to_text([], []) == "0 cases.\n"
    assert to_text([], VERDICTS[:1]) == "1 case: 1 safe.\n"
