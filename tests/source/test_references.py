"""Schemas with their references replaced, and the quick test, say what the published schemas say."""

import json

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from proctool.model.document import Kind, plain_data
from proctool.source.schema import _acceptor, _validator, schema_text
from proctool.source.yamltree import parse
from tests.cli.plant import DEMO

NAMES = ["steps.schema.json", *(f"{kind}.schema.json" for kind in Kind)]
SCHEMAS = {name: json.loads(schema_text(name)) for name in NAMES}
REGISTRY = Registry().with_resources((n, DRAFT202012.create_resource(s)) for n, s in SCHEMAS.items())


def references(node):
    if isinstance(node, dict):
        yield from [node] if "$ref" in node else []
    for value in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from references(value)


@pytest.mark.parametrize("name", NAMES)
def test_beside_a_reference_stand_only_words(name):
    assert all(node.keys() <= {"$ref", "title", "description"} for node in references(SCHEMAS[name]))


def damages(data):
    """The same data with one thing taken away or turned into something else, at every place."""
    places = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in places:
        other: object
        for other in ("", "off", "7", [], ["x", "x"], {"x": "1"}):
            yield {**data, key: other} if isinstance(data, dict) else [*data[:key], other, *data[key + 1 :]]
        for changed in damages(value):
            yield (
                {**data, key: changed} if isinstance(data, dict) else [*data[:key], changed, *data[key + 1 :]]
            )


@pytest.mark.parametrize(
    ("kind", "file"),
    [
        ("library", "library.yaml"),
        ("procedure", "weekly-round.yaml"),
        ("block", "blocks/make-safe.yaml"),
        ("base", "units/kw-base.yaml"),
        ("unit", "units/kw-4t.yaml"),
    ],
)
def test_they_refuse_the_same_for_the_same_reason(kind, file):
    root, _ = parse(file, (DEMO / file).read_bytes())
    assert root is not None
    whole = plain_data(root)
    slow = Draft202012Validator({"$ref": f"{kind}.schema.json"}, registry=REGISTRY)
    for number, data in enumerate(damages(whole)):
        if number % 31 == 0:
            found = told(slow, data)
            assert told(_validator(Kind(kind)), data) == found
            assert _acceptor(Kind(kind))(data) == (found == [])
    assert told(slow, whole) == [] and _acceptor(Kind(kind))(whole)


def told(validator, data):
    found = validator.iter_errors(data)
    return sorted((list(map(str, e.absolute_path)), str(e.validator), e.message, told_of(e)) for e in found)


def told_of(error):
    return sorted((list(map(str, e.absolute_path)), str(e.validator), e.message) for e in error.context)
