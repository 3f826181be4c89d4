"""The shape of each kind of file: what is said about what does not fit, and that the schemas are whole."""

import json
import time
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from proctool.model.document import Kind, plain_data
from proctool.model.measures import DIMENSIONS
from proctool.model.words import ACT_WORDS, VERBS, Depth, Device, Form, Lock, Role
from proctool.source.schema import MAX_FINDINGS, schema_text, validate
from proctool.source.yamltree import MAX_DEPTH, parse

LIBRARY = Path(__file__).parent / "library"
NAMES = ["steps.schema.json", *(f"{kind}.schema.json" for kind in Kind)]
PROCEDURE = "procedure: p\ntitle: T\nunits: [KW]\nsteps:\n"
UNIT = "unit: a\nbased_on: b\n"


def check(text):
    root, findings = parse("f.yaml", text.encode())
    assert findings == ()
    assert root is not None
    kind, findings = validate("f.yaml", root)
    assert all(len(finding.message) < 200 for finding in findings)
    return kind, findings


def said(text):
    """Findings as (line:column, message)."""
    return [(f"{f.span.line}:{f.span.column}", f.message) for f in check(text)[1] if f.span]


@pytest.mark.parametrize("path", sorted(LIBRARY.rglob("*.yaml")), ids=lambda path: path.name)
def test_the_files_of_a_library_fit(path):
    kind, findings = check(path.read_text(encoding="utf-8"))
    assert findings == ()
    assert kind is not None


def step(text):
    return PROCEDURE + "".join(f"  {line}\n" for line in text.splitlines())


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ("procedur: p\n", "1:1", "found `procedur`. Did you mean `procedure`?"),
        ("title: x\nprocedure: p\n", "2:1", "`procedure` says what this file is and must be its first key."),
        (
            "{}\n",
            "1:1",
            "The map is empty; expected `library`, `unit`, `base`, `block`, `procedure` or `profile`.",
        ),
        ("procedure: p\ntitle: T\n", "1:1", "A procedure file needs `units` and `steps`."),
        ("unit: a\n", "1:1", "A unit file needs `energies`, `parts` and `lines`."),
        (
            "unit: a b\nbased_on: b\n",
            "1:7",
            "`unit` must be a name (letters, digits, `-` and `_`); found `a b`.",
        ),
        (
            "unit:\nbased_on: b\n",
            "1:1",
            "`unit` has no value; expected a name (letters, digits, `-` and `_`).",
        ),
        (UNIT + "energy: {}\n", "3:1", "`energy` is not a key of a unit file. Did you mean `energies`?"),
        (step("- isolat: V1"), "5:5", "`isolat` is not a key of a step. Did you mean `isolate`?"),
        (step("- do: Go.\n  tighetn: x"), "6:5", "`tighetn` is not a key of a step. Did you mean `tighten`?"),
        (
            step("- acts: [{isolat: a}]"),
            "5:13",
            "`isolat` is not a key of an entry of `acts`. Did you mean `isolate`?",
        ),
        (
            step("- Close it."),
            "5:5",
            "A step must be a map, for example `do: Close the <inlet_valve>.`; found `Close it.`.",
        ),
        (
            step("- id: x"),
            "5:5",
            "A step needs a text (`do`, `check`, `read`, `wait`), an act, `use`, `each` or `steps`.",
        ),
        (step("- use: make-safe\n  lock: V1"), "6:5", "`lock` cannot stand beside `use` in one step."),
        (step("- do: Go.\n  check: It went."), "6:5", "`check` cannot stand beside `do` in one step."),
        (step("- do: Go.\n  with: {a: b}"), "6:5", "`with` cannot stand beside `do` in one step."),
        (step("- do: Go.\n  for: 2 min"), "6:5", "`for` cannot stand beside `do` in one step."),
        (
            step("- acts: [{isolate: a}]\n  lock: a"),
            "6:5",
            "`lock` cannot stand beside `acts`; put it into the list.",
        ),
        (step("- each: {x: opens}"), "5:5", "A step with `each` needs `steps`."),
        (step("- each: {x: {all: vents}}\n  steps: [{stop: x}]"), "5:21", "Did you mean `vent`?"),
        (step("- each: {x: {isolator_of: a}}\n  steps: [{stop: x}]"), "5:16", "Did you mean `isolators_of`?"),
        (
            step("- do: Fit it.\n  fit: x\n  once: yes"),
            "7:11",
            "`once` must be `true` or `false`; found `yes`.",
        ),
        (step("- open: the housing"), "5:11", "found `the housing`."),
        (
            step("- verify_zero: {parts: a}"),
            "5:19",
            "`parts` is not a key of `verify_zero`. Did you mean `part`?",
        ),
        (step("- dose: {part: a}"), "5:5", "`dose` needs `energy`."),
        (step("- check: It.\n  otherwise: {steps: []}"), "6:5", "`otherwise` needs an ending:"),
        (
            step("- check: It.\n  otherwise: {continue: true, end_here: x}"),
            "6:33",
            "cannot stand beside `continue`.",
        ),
        (
            step("- check: It.\n  otherwise: {end_here: x, at_most: 2}"),
            "6:30",
            "`at_most` stands only beside `back_to`.",
        ),
        (
            step("- check: It.\n  otherwise: {back_to: a, at_most: two}"),
            "6:38",
            "a whole number, 1 or more; found `two`.",
        ),
        (step("- wait: 4 min\n  until: {gauge: g}"), "6:5", "`until` needs `reads`."),
        (step("- read: {within: 1 bar}"), "5:5", "`read` needs `what` or `gauge`."),
        (
            step("- do: Go.\n  needs: {a: []}"),
            "6:16",
            "`a` must be a list of words, not empty; found a list with 0 entries.",
        ),
        (
            step("- do: Go.\n  when: {lockout: yes}"),
            "6:21",
            "must be `required` or `exclusive_control`; found `yes`.",
        ),
        (
            step("- do: Go.") + "revisions: [{number: 1, date: 2026-13-01}]\n",
            "6:31",
            "`date` must be a date such as",
        ),
        (
            step("- do: Go.") + "revisions: [{number: 1, date: 2026-02-30}]\n",
            "6:31",
            "`2026-02-30` is no day of the calendar.",
        ),
        (
            step("- do: Go.") + "inspections: [{date: 2027-02-29, by: A, of: [B], unit: C}]\n",
            "6:22",
            "`2027-02-29` is no day of the calendar.",
        ),
        (
            step("- do: Go.") + "locks: all\n",
            "6:1",
            "`locks` must be `each` or `{group: name}`.",
        ),
        (
            step("- do: Go.") + "deviations: [{rule: a/b, why: x, instead: x, by: x, until: 2026-01-01}]\n",
            "6:15",
            "An entry of `deviations` needs `step` or `part`.",
        ),
        (UNIT + "energies: {w: {form: liquid}}\n", "3:22", "found `liquid`. Did you mean `liquid_pressure`?"),
        (UNIT + "parts: {a: {role: valve}}\n", "3:19", "found `valve`. Did you mean `check_valve`?"),
        (UNIT + "parts: {in let: {role: vent}}\n", "3:9", "`in let` must be a name"),
        (
            UNIT + "parts: {a: {feeds_bak: no}}\n",
            "3:13",
            "`feeds_bak` is nearly `feeds_back`, which has a meaning for parts.",
        ),
        (
            UNIT + "parts: {a: {Rebuild: [w]}}\n",
            "3:13",
            "`Rebuild` is nearly `rebuilds`, which has a meaning for parts.",
        ),
        (
            UNIT + "lines: {m: {energy: w, path: [a]}}\n",
            "3:30",
            "a list of two or more parts; found a list with 1 entry.",
        ),
        (
            "library: x\nlevels: {energy/x: low}\n",
            "2:20",
            "must be `error`, `warning`, `advice` or `off`; found `low`.",
        ),
        (
            "library: x\nshows: {presure: [bar]}\n",
            "2:9",
            "`presure` is not a key of `shows`. Did you mean `pressure`?",
        ),
        (
            "library: x\nhouse_rules: [{id: a, say: b, before: {act: open}}]\n",
            "2:16",
            "needs one of: `before` with `first`",
        ),
    ],
)
def test_one_fault_is_one_finding(text, place, message):
    ((where, what),) = said(text)
    assert where == place
    assert message in what


@pytest.mark.parametrize("text", ["do:\n      Note: open", "do: {part}", "do: [Start]"])
def test_a_text_that_became_a_map_or_list_shows_the_mend(text):
    _, (finding,) = check(PROCEDURE + f"  - {text}\n")
    assert finding.rule == "wording/cut-text"
    assert "write the text on the next line after `>-`" in finding.message


def test_a_property_of_ones_own_is_free():
    assert said(UNIT + "parts: {a: {colour: red, sizes: [a, b], cartridge: 5 micron}}\n") == []


def test_many_faults_are_counted_not_told():
    start = time.perf_counter()
    found = said(PROCEDURE + "".join(f"  - isolat{n}: V1\n" for n in range(5_000)))
    assert time.perf_counter() - start < 10
    assert len(found) == MAX_FINDINGS + 1
    assert found[0][0] == "5:5"
    assert found[-1] == ("25:5", "And 4,980 more faults in this file.")


def test_the_deepest_tree_is_checked_without_running_out_of_stack():
    steps = "[{do: Go.}]"
    for _ in range((MAX_DEPTH - 4) // 3):
        steps = f"[{{check: It., otherwise: {{steps: {steps}, continue: true}}}}]"
    assert said(f"procedure: p\ntitle: T\nunits: KW\nsteps: {steps}\n") == []


WORDS = st.sampled_from(
    [*sorted(ACT_WORDS), "do", "check", "each", "steps", "otherwise", "x", "", "true", "a b", "part"]
)
TREES = st.recursive(
    WORDS,
    lambda deeper: st.lists(deeper, max_size=3) | st.dictionaries(WORDS, deeper, max_size=3),
    max_leaves=12,
)


@given(st.sampled_from([kind.value for kind in Kind]), st.dictionaries(WORDS, TREES, max_size=3), TREES)
def test_validating_never_raises(kind, more, steps):
    """Any tree gives a kind and findings with places inside the file. JSON, being YAML, writes the trees."""
    text = json.dumps({kind: "n", **more, "steps": steps, "parts": steps})
    root, _ = parse("f.yaml", text.encode())
    assert root is not None
    found, findings = validate("f.yaml", root)
    assert found == kind
    for finding in findings:
        assert finding.span is not None
        assert len(finding.message) < 200
        assert finding.span.line == 1 <= finding.span.column <= len(text) + 1


@given(TREES)
def test_findings_come_exactly_where_the_schema_is_not_met(steps):
    """The validator alone is the oracle for whether anything is wrong."""
    text = json.dumps({"block": "n", "steps": steps})
    root, faults = parse("f.yaml", text.encode())
    if root is None or faults:
        return
    resources = {name: json.loads(schema_text(name)) for name in NAMES}
    whole = {"$ref": "#/$defs/block.schema.json", "$defs": _joined(resources)}
    fits = Draft202012Validator(whole).is_valid(plain_data(root))
    assert (validate("f.yaml", root)[1] == ()) == fits


def _joined(resources):
    """All schema files as one document, references rewritten: no registry involved."""

    def rewrite(node, home):
        if isinstance(node, dict):
            return {
                key: _pointer(value, home)
                if key == "$ref" and isinstance(value, str)
                else rewrite(value, home)
                for key, value in node.items()
                if key != "$schema"
            }
        return [rewrite(item, home) for item in node] if isinstance(node, list) else node

    return {name: rewrite(resource, name) for name, resource in resources.items()}


def _pointer(reference, home):
    file, _, inside = reference.partition("#")
    return f"#/$defs/{file or home}{inside}"


@pytest.mark.parametrize("name", NAMES)
def test_the_schemas_are_valid(name):
    schema = json.loads(schema_text(name))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


def test_no_schema_file_is_forgotten():
    shipped = sorted(path.name for path in files("proctool.schemas").iterdir() if path.name.endswith(".json"))
    assert shipped == sorted([*NAMES, "record.schema.json"])  # the record of a job is no file of a library


def nodes(schema, path=()):
    """Every object in a schema with the path to it."""
    if isinstance(schema, dict):
        yield path, schema
        for key, value in schema.items():
            yield from nodes(value, (*path, key))
    elif isinstance(schema, list):
        for number, value in enumerate(schema):
            yield from nodes(value, (*path, number))


@pytest.mark.parametrize("name", NAMES)
def test_every_key_says_what_it_is(name):
    """For the editor's hover text."""
    schema = json.loads(schema_text(name))
    silent = [
        (*path, key)
        for path, node in nodes(schema)
        if isinstance(node.get("properties"), dict) and path[-1:] != ("properties",)
        for key, value in node["properties"].items()
        if not (value.get("description") or value.get("title"))
    ]
    assert silent == []


@pytest.mark.parametrize("name", NAMES)
def test_every_map_of_fixed_keys_is_closed(name):
    schema = json.loads(schema_text(name))
    open_maps = [
        path
        for path, node in nodes(schema)
        if isinstance(node.get("properties"), dict)
        and path[-1:] != ("properties",)
        and "additionalProperties" not in node
    ]
    assert open_maps == []


def test_the_schemas_use_the_words_of_the_model():
    steps = json.loads(schema_text("steps.schema.json"))["$defs"]
    unit = json.loads(schema_text("unit.schema.json"))["$defs"]
    library = json.loads(schema_text("library.schema.json"))
    assert set(steps["act"]["properties"]) == ACT_WORDS
    assert set(steps["step"]["properties"]) >= ACT_WORDS
    assert steps["role"]["enum"] == list(Role)
    assert unit["energy"]["properties"]["form"]["enum"] == list(Form)
    assert unit["energy"]["properties"]["isolation"]["enum"] == list(Depth)
    assert unit["part"]["properties"]["device"]["enum"] == list(Device)
    assert unit["part"]["properties"]["lock"]["enum"] == list(Lock)
    assert set(library["properties"]["sentences"]["propertyNames"]["enum"]) == set(VERBS)
    assert library["properties"]["shows"]["propertyNames"]["enum"] == list(DIMENSIONS)


@pytest.mark.parametrize("value", ["once: true", "once: false", "hold: true", "reversed: true"])
def test_an_editor_that_reads_booleans_accepts_them(value):
    """Editors validate what their own YAML reader made of the text."""
    key, _, word = value.partition(": ")
    resources = {name: json.loads(schema_text(name)) for name in NAMES}
    whole = {"$ref": f"#/$defs/steps.schema.json/$defs/step/properties/{key}", "$defs": _joined(resources)}
    validator = Draft202012Validator(whole)
    assert validator.is_valid(word == "true")
    assert validator.is_valid(word)
