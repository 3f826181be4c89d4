"""`--format json` of `show`, `table` and `draft`: the keys that are documented, and what the texts say."""

import json
from pathlib import Path

import pytest

from tests.cli.plant import call, written

DEMO = Path(__file__).parents[2] / "procedures"

TEXT, FLAG, WHOLE = str, bool, int
MAYBE = (str, type(None))
FINDING = {
    "rule": TEXT, "level": TEXT, "procedure": MAYBE, "unit": MAYBE, "step": MAYBE, "part": MAYBE,
    "energies": [TEXT], "file": TEXT, "line": (int, type(None)), "column": (int, type(None)),
    "message": TEXT, "trace": list, "help": MAYBE, "path": list, "mend": (dict, type(None)),
}  # fmt: skip
CHARGE = {"part": TEXT, "energy": TEXT, "charge": TEXT}
VERDICT = {"procedure": TEXT, "unit": TEXT, "verdict": TEXT, "orders": MAYBE, "states": WHOLE}
STEP = {
    "step": TEXT, "number": TEXT, "kind": TEXT, "text": TEXT, "after": [TEXT],
    "acts": [{"act": TEXT, "part": MAYBE, "by": MAYBE, "energy": MAYBE, "what": MAYBE}],
    "needs": [{"name": TEXT, "word": TEXT}], "charges": [CHARGE],
}  # fmt: skip
STEP["otherwise"] = [
    {"steps": [STEP], "ending": TEXT, "to": MAYBE, "at_most": (int, type(None)), "text": MAYBE}
]
STEPS = {**VERDICT, "explored": FLAG, "start": [CHARGE], "steps": [STEP], "findings": [FINDING]}
REACH = {"part": TEXT, "energy": TEXT, "parts": [TEXT]}
UNIT = {
    "unit": TEXT, "title": TEXT, "family": MAYBE,
    "checked": {"by": MAYBE, "date": MAYBE, "drawing": MAYBE, "serials": MAYBE},
    "energies": [{"energy": TEXT, "name": TEXT, "form": TEXT, "normal": MAYBE, "safe": MAYBE,
                  "isolation": TEXT, "brought": FLAG}],
    "parts": [{"part": TEXT, "name": TEXT, "tag": MAYBE, "role": TEXT, "device": MAYBE, "place": MAYBE,
               "lock": MAYBE}],
    "lines": [{"line": TEXT, "energies": [TEXT], "path": [TEXT]}],
    "isolators": [{**REACH, "needed_for": [TEXT]}], "vents": [REACH], "gauges": [REACH],
    "blind_spots": [{"parts": [TEXT], "lacks": [TEXT]}],
    "seen_by_vent_only": [{"part": TEXT, "energy": TEXT}],
}  # fmt: skip
SPREAD = ({"low": TEXT, "high": TEXT}, None)
CELL = {"value": TEXT, "also": [TEXT], "true": SPREAD}
COLUMN = {"name": TEXT, "title": TEXT, "gauge": MAYBE, "measure": MAYBE}
TABLES = {
    "procedure": MAYBE, "unit": MAYBE, "findings": [FINDING],
    "tables": [{
        "table": TEXT, "title": TEXT, "while": MAYBE, "guard": FLAG, "readings": [COLUMN],
        "answers": [{**COLUMN, "formula": TEXT, "due": MAYBE, "safe_side": MAYBE}],
        "rows": [{
            "readings": [CELL],
            "answers": [{**CELL, "limit": SPREAD,
                         "bands": ({"due": TEXT, "cannot_tell": MAYBE, "soon": MAYBE}, None)}],
        }],
    }],
}  # fmt: skip
DRAFT = {
    "unit": TEXT, "open": [TEXT], "lacks": [TEXT], "unsafe": [FINDING],
    "ways": [{"way": WHOLE, "isolators": TEXT, "without": [TEXT], "verdicts": [VERDICT],
              "findings": [FINDING], "draft": TEXT}],
}  # fmt: skip


def agrees(value, shape, where="$"):
    """Whether a value has exactly the keys of a shape, and values of its types."""
    if isinstance(shape, dict):
        assert isinstance(value, dict), where
        assert value.keys() == shape.keys(), (where, value.keys() ^ shape.keys())
        for key, inner in shape.items():
            agrees(value[key], inner, f"{where}.{key}")
    elif isinstance(shape, list):
        assert isinstance(value, list), where
        for place, item in enumerate(value):
            agrees(item, shape[0], f"{where}[{place}]")
    elif isinstance(shape, tuple) and shape[-1] is None:
        if value is not None:
            agrees(value, shape[0], where)
    else:
        assert isinstance(value, shape), (where, value)


def told(*words, code=0, library=DEMO):
    said = call(*words, "--library", library, "--format", "json")
    assert said.code == code, said.err
    return json.loads(said.out)


@pytest.mark.parametrize(
    ("words", "shape"),
    [
        (("show", "KW-4T"), UNIT),
        (("show", "UV-1"), UNIT),
        (("show", "change-cartridges", "KW-6"), STEPS),
        (("show", "sanitise-skid", "KW-2"), STEPS),
        (("table", "change-cartridges", "KW-4"), TABLES),
        (("table", "sanitise-skid", "KW-2"), TABLES),
        (("draft", "KW-4", "--open", "first"), DRAFT),
        (("draft", "KW-6", "--open", "first", "--alternatives", "1"), DRAFT),
    ],
    ids=" ".join,
)
def test_the_shape_is_the_documented_one(words, shape):
    agrees(told(*words), shape)


def test_every_step_of_a_plan_is_there_once():
    def ids(steps):
        for step in steps:
            yield step["step"]
            for otherwise in step["otherwise"]:
                yield from ids(otherwise["steps"])

    found = told("show", "change-cartridges", "KW-4")
    every = list(ids(found["steps"]))
    text = call("show", "change-cartridges", "KW-4", "--library", DEMO).out
    assert (
        len(set(every))
        == len(every)
        == sum(line.strip().split(" (")[0] in every for line in text.splitlines())
    )
    assert found["verdict"] == "safe"
    opened = next(s for s in found["steps"] if any(a["act"] == "open" for a in s["acts"]))
    assert {"part": "first", "energy": "water", "charge": "zero"} in opened["charges"]


def test_a_case_that_cannot_be_resolved_has_no_steps(tmp_path):
    library = written(tmp_path, ("change-filter.yaml", "    open: first\n", "    open: frist\n"))
    found = told("show", "change-filter", "F-1", code=1, library=library)
    agrees(found, STEPS)
    assert (found["verdict"], found["steps"], found["start"]) == ("unproven", [], [])
    assert "graph/unknown-name" in {finding["rule"] for finding in found["findings"]}


def test_a_table_with_errors_is_not_given_out():
    found = told("table", "--formula", "inlet * 2", "--reading", "inlet=2 to 4 bar by 1 bar", "--round",
                 "up to 1 bar", "--due", "or_more", "--while", "it runs", code=1)  # fmt: skip
    agrees(found, TABLES)
    assert found["tables"] == []
    assert any(finding["level"] == "error" for finding in found["findings"])


def test_what_cannot_be_drafted_says_what_the_unit_lacks(tmp_path):
    library = written(
        tmp_path, ("units/f-base.yaml", ", feeds_back: false, why: ends free above the sink", "")
    )
    found = told("draft", "F-1", "--open", "first", code=1, library=library)
    agrees(found, DRAFT)
    assert (found["ways"], bool(found["lacks"])) == ([], True)


def test_a_draft_is_told_and_written(tmp_path):
    library = written(tmp_path)
    file = tmp_path / "open-first.yaml"
    found = told("draft", "F-1", "--open", "first", "-o", file, library=library)
    assert file.read_text(encoding="utf-8") == found["ways"][0]["draft"]
