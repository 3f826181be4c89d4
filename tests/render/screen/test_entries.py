"""What is ticked and filled in: kept, judged, looked up, in other measures, saved as a record."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from proctool.api import open_library
from proctool.model.quantity import Quantity
from proctool.model.rows import Band
from proctool.source.schema import schema_text
from proctool.tables.bands import due_answer
from tests.render import kw4
from tests.render.screen.pages import click, fill, saved, text, write

LIBRARY = Path(__file__).parents[3] / "procedures"
READING = "Reading, step 33 (bar)"
JUDGED = "document.querySelector('#step-33 .judged').textContent"


def test_ticks_and_entries_survive_a_reload(fresh, manual):
    fresh.evaluate("document.querySelector('#step-2 .tick').click()")
    fill(fresh, READING, "2.5")
    fresh.visit(manual, width=360)
    assert fresh.evaluate("document.querySelector('#step-2 .tick').checked")
    assert fresh.evaluate(f"document.querySelector(`input[aria-label='{READING}']`).value") == "2.5"
    assert fresh.evaluate(JUDGED) == "✓ Within its limits"
    fresh.evaluate("window.confirm = () => true")
    click(fresh, "anew")
    fresh.visit(manual, width=360)
    assert not fresh.evaluate("document.querySelector('#step-2 .tick').checked")
    assert fresh.evaluate(f"document.querySelector(`input[aria-label='{READING}']`).value") == ""


def test_nothing_is_taken_over_from_another_digest(fresh, tmp_path, monkeypatch):
    fresh.evaluate("document.querySelector('#step-2 .tick').click()")
    monkeypatch.setattr(kw4, "DIGEST", "77aa" * 16)
    fresh.visit(write(tmp_path), width=360)
    assert not fresh.evaluate("document.querySelector('#step-2 .tick').checked")


def test_a_browser_that_keeps_nothing_says_so(fresh, manual):
    script = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('blocked'); }})"
    added = fresh.call("Page.addScriptToEvaluateOnNewDocument", source=script)["identifier"]
    fresh.visit(manual, width=360)
    assert text(fresh, "kept").startswith("This browser keeps nothing")
    fresh.evaluate("document.querySelector('#step-2 .tick').click()")
    click(fresh, "stepping")
    assert text(fresh, "where") == "Step 1 of 34"
    fresh.call("Page.removeScriptToEvaluateOnNewDocument", identifier=added)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1.0", "✓ Within its limits"),
        ("6.0", "✓ Within its limits"),
        ("0.99", "✗ Outside its limits"),
        ("6.01", "✗ Outside its limits"),
        ("\N{MINUS SIGN}1", "✗ Outside its limits"),
        ("2,5", "✓ Within its limits"),
        ("2,500", "Write a number such as 4.5"),
        ("two", "Write a number such as 4.5"),
        (" ", ""),
    ],
)
def test_readings_are_judged(fresh, typed, said):
    fill(fresh, READING, typed)
    assert fresh.evaluate(JUDGED) == said
    invalid = fresh.evaluate(f"document.querySelector(`input[aria-label='{READING}']`).ariaInvalid")
    assert invalid == ("true" if said[:1] in {"✗", "W"} else "false")


def test_a_reading_beside_a_step_goes_into_the_record(fresh):
    fill(fresh, READING, "2.5")
    there = "document.querySelector(`input[aria-label='Reading, record of step 33 (bar)']`).value"
    assert fresh.evaluate(there) == "2.5"
    fill(fresh, "Signed, step 30", "A. B.")
    there = "document.querySelector(`input[aria-label='Signed, record of step 30']`).value"
    assert fresh.evaluate(there) == "A. B."


def test_measures_are_switched_and_limits_with_them(fresh, manual):
    must = "document.querySelector('#step-33 .facts').textContent"
    assert "1.0 to 6.0 bar (14.6 to 87.0 psi)" in fresh.evaluate(must)
    choose = (
        "(() => { const s = document.getElementById('measures'); s.value = '%s';"
        " s.dispatchEvent(new Event('input', {bubbles: true})); })()"
    )
    fresh.evaluate(choose % 1)
    assert "14.6 to 87.0 psi" in fresh.evaluate(must) and "bar" not in fresh.evaluate(must)
    fill(fresh, "Reading, step 33 (psi)", "14.5")
    assert fresh.evaluate(JUDGED) == "✗ Outside its limits"
    fill(fresh, "Reading, step 33 (psi)", "50")
    fresh.evaluate(choose % 0)
    assert "1.0 to 6.0 bar" in fresh.evaluate(must) and "psi" not in fresh.evaluate(must)
    assert fresh.evaluate(JUDGED) == "✓ Within its limits"  # what is written keeps its measure
    fresh.visit(manual, width=360)
    assert fresh.evaluate("document.getElementById('measures').value") == "0"
    assert fresh.evaluate("document.querySelector('#step-33 .blank-measure').textContent") == "psi"
    assert fresh.evaluate(JUDGED) == "✓ Within its limits"


WORDS = {
    Band.DUE: "Due.",
    Band.CANNOT_TELL: "Gauges cannot tell.",
    Band.SOON: "Soon.",
    Band.NOT_DUE: "Not due.",
}
WORST = list(WORDS.values())


def test_the_due_table_never_says_later_than_the_exact_answer(fresh, tmp_path):
    (case,) = open_library(LIBRARY).cases(procedure="change-cartridges", unit="KW-4")
    (table,) = (table for table in case.tables if table.due)
    fresh.visit(write(tmp_path, table), width=360)
    (reading,), (answer,) = table.readings, table.answers
    asked = [
        (Decimal(x) / 20, Decimal(y) / 20)
        for x in range(int(table.rows[0].readings[0].shown.value * 20), 121, 3)
        for y in range(10, 121, 2)
    ]
    said = fresh.evaluate(f"""
        (() => {{
          const box = document.querySelector('[data-lookup]');
          const [x, y] = box.querySelectorAll('input');
          return {json.dumps([[str(x), str(y)] for x, y in asked])}.map(([a, b]) => {{
            x.value = a; y.value = b;
            y.dispatchEvent(new Event('input', {{bubbles: true}}));
            return box.querySelector('strong').textContent;
          }});
        }})()
    """)
    seen = set()
    for (x, y), told in zip(asked, said, strict=True):
        found = due_answer(
            table,
            {
                reading.name: Quantity(f"{x} {reading.measure}", x, reading.measure),
                answer.name: Quantity(f"{y} {answer.measure}", y, answer.measure),
            },
        )
        assert isinstance(found, Band)
        assert WORST.index(told) <= WORST.index(WORDS[found]) or {told, WORDS[found]} == set(WORST[:2]), (
            x,
            y,
        )
        seen.add(told)
    assert seen == set(WORST)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("1.0", "1.0"), "Gauges cannot tell. This is outside the rows of the table."),
        (("99", "1.0"), "Gauges cannot tell. This is off the scale of the gauge."),
        (("4.0", ""), ""),
        (("4.0", "x"), "Write a number such as 4.5"),
    ],
)
def test_what_the_table_cannot_say(fresh, typed, said):
    fresh.evaluate(f"""
        (() => {{
          const [x, y] = document.querySelectorAll('[data-lookup] input');
          [x.value, y.value] = {json.dumps(typed)};
          y.dispatchEvent(new Event('input', {{bubbles: true}}));
        }})()
    """)
    told = fresh.evaluate("document.querySelector('.told-due').textContent")
    assert told.startswith(said) if said else told == ""


def test_a_record_is_saved_as_its_schema_says(fresh, tmp_path):
    fresh.evaluate("document.querySelector('#step-2 .tick').click()")
    fill(fresh, READING, "9")
    record = saved(fresh, tmp_path)
    schema = json.loads(schema_text("record.schema.json"))
    Draft202012Validator.check_schema(schema)
    checker = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)
    assert list(checker.iter_errors(record)) == []
    assert (record["procedure"], record["unit"], record["digest"]) == (
        "change-cartridges",
        "KW-4",
        kw4.DIGEST,
    )
    assert not record["complete"]
    done = {step["number"]: step["done"] for step in record["steps"]}
    assert done["2"] and not done["1"] and any("." in number for number in done)
    (entry,) = [e for e in record["entries"] if e["label"] == READING]
    assert (entry["value"], entry["measure"], entry["inside"]) == ("9", "bar", False)
    assert list(checker.iter_errors({**record, "digest": ""}))


def test_a_record_is_complete_when_nothing_is_open(fresh, tmp_path):
    assert text(fresh, "finished").startswith("Open: 34 of 34 steps not ticked")
    fresh.evaluate("""
        (() => {
          document.querySelectorAll('#steps > .steps > .step').forEach(s => {
            s.querySelector('.tick').checked = true; });
          document.querySelectorAll('#record input').forEach(f => { f.value = '0'; });
          document.body.dispatchEvent(new Event('input', {bubbles: true}));
        })()
    """)
    assert text(fresh, "finished").startswith("Every step is ticked")
    assert saved(fresh, tmp_path)["complete"]


def test_the_record_alone_is_printed(fresh):
    fresh.evaluate("window.print = () => {}")
    click(fresh, "print-record")
    fresh.call("Emulation.setEmulatedMedia", media="print")
    seen = (
        "[...document.querySelectorAll('main > *')].filter(e => e.offsetHeight).map(e => e.id || e.className)"
    )
    assert fresh.evaluate(seen) == ["title", "record"]
    fresh.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert len(fresh.evaluate(seen)) > 5
    fresh.call("Emulation.setEmulatedMedia", media="")
