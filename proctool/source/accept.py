"""Whether plain data meets a schema, as a yes or no: many times as fast as a validator that says why.

Nearly all files are right, so nearly all are asked this only; one that is not goes to the validator, which
finds the words. The data are texts, lists and maps with texts for keys. Of JSON Schema 2020-12 there is what
our schemas use; a keyword that is not known here stops the program.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

Accepts = Callable[[Any], bool]
_Make = Callable[[Any, dict[str, Any], Callable[[Any], Accepts]], Accepts]

_WORDS = frozenset({"title", "description", "errorMessage", "$schema", "$defs", "then", "else"})
"""Words for people, and keywords that are seen to with another."""
_TYPES = {"string": str, "array": list, "object": dict}
"""What the data can be; no text is a number or a boolean."""


def acceptor(schema: Any) -> Accepts:  # noqa: ANN401 - JSON
    """The test of a schema that may go in circles, its references replaced by what they refer to.

    Raises:
        KeyError: the schema uses a keyword that is not known here: a fault of proctool.
    """
    made: dict[int, Accepts] = {}

    def of(schema: Any) -> Accepts:  # noqa: ANN401
        if isinstance(schema, bool):
            return lambda _: schema
        if id(schema) not in made:
            tests: list[Accepts] = []
            made[id(schema)] = lambda data: _all(tests, data)
            tests += [_KEYWORDS[k](value, schema, of) for k, value in schema.items() if k not in _WORDS]
        return made[id(schema)]

    return of(schema)


def _all(tests: list[Accepts], data: Any) -> bool:  # noqa: ANN401
    for test in tests:  # noqa: SIM110 - a generator costs more than most tests
        if not test(data):
            return False
    return True


def _on(kind: type, test: Accepts) -> Accepts:
    """A test of data of one type; other data pass."""
    return lambda data: not isinstance(data, kind) or test(data)


def _type(value: str | list[str], _schema: object, _of: object) -> Accepts:
    names = [value] if isinstance(value, str) else value
    kinds = tuple(_TYPES[name] for name in names if name in _TYPES)
    return lambda data: isinstance(data, kinds)


def _properties(value: dict[str, Any], _schema: object, of: Callable[[Any], Accepts]) -> Accepts:
    tests = {key: of(schema) for key, schema in value.items()}
    return _on(dict, lambda data: all(tests[key](inner) for key, inner in data.items() if key in tests))


def _additional(value: Any, schema: dict[str, Any], of: Callable[[Any], Accepts]) -> Accepts:  # noqa: ANN401
    test, named = of(value), frozenset(schema.get("properties", ()))
    return _on(dict, lambda data: all(test(inner) for key, inner in data.items() if key not in named))


def _dependent(value: dict[str, Any], _schema: object, of: Callable[[Any], Accepts]) -> Accepts:
    tests = [(key, of(schema)) for key, schema in value.items()]
    return _on(dict, lambda data: all(key not in data or test(data) for key, test in tests))


def _if(value: Any, schema: dict[str, Any], of: Callable[[Any], Accepts]) -> Accepts:  # noqa: ANN401
    test, then, otherwise = of(value), of(schema.get("then", True)), of(schema.get("else", True))
    return lambda data: then(data) if test(data) else otherwise(data)


def _each(kind: type) -> _Make:
    """A schema for the items of a list, or for the keys of a map."""

    def make(value: Any, _schema: object, of: Callable[[Any], Accepts]) -> Accepts:  # noqa: ANN401
        test = of(value)
        return _on(kind, lambda data: all(map(test, data)))

    return make


def _least(kind: type) -> _Make:
    return lambda value, _, __: _on(kind, lambda data: len(data) >= value)


def _most(kind: type) -> _Make:
    return lambda value, _, __: _on(kind, lambda data: len(data) <= value)


def pattern(said: str) -> re.Pattern[str]:
    r"""A regular expression of a schema. Its `$` is the end of the text: Python's lets a line break follow.

    None of ours has `$` in brackets or as `\$`. JSON Schema goes by ECMA-262, where `$` means that alone.
    """
    return re.compile(said.replace("$", r"\Z"))


def _pattern(value: str, _schema: object, _of: object) -> Accepts:
    search = pattern(value).search
    return _on(str, lambda data: search(data) is not None)


def _any(value: list[Any], _schema: object, of: Callable[[Any], Accepts]) -> Accepts:
    tests = [of(schema) for schema in value]
    return lambda data: any(test(data) for test in tests)


def _every(value: list[Any], _schema: object, of: Callable[[Any], Accepts]) -> Accepts:
    tests = [of(schema) for schema in value]
    return lambda data: _all(tests, data)


def _one(value: list[Any], _schema: object, of: Callable[[Any], Accepts]) -> Accepts:
    tests = [of(schema) for schema in value]
    return lambda data: sum(test(data) for test in tests) == 1


def _not(value: Any, _schema: object, of: Callable[[Any], Accepts]) -> Accepts:  # noqa: ANN401
    test = of(value)
    return lambda data: not test(data)


def _unique(value: bool, _schema: object, _of: object) -> Accepts:
    return _on(
        list, lambda data: not value or all(item not in data[:place] for place, item in enumerate(data))
    )


_KEYWORDS: dict[str, _Make] = {
    "type": _type,
    "enum": lambda value, _, __: lambda data: data in value,
    "properties": _properties,
    "additionalProperties": _additional,
    "propertyNames": _each(dict),
    "required": lambda value, _, __: _on(dict, lambda data: all(key in data for key in value)),
    "dependentSchemas": _dependent,
    "minProperties": _least(dict),
    "maxProperties": _most(dict),
    "items": _each(list),
    "minItems": _least(list),
    "maxItems": _most(list),
    "uniqueItems": _unique,
    "minLength": _least(str),
    "maxLength": _most(str),
    "pattern": _pattern,
    "minimum": lambda _, __, ___: lambda _: True,  # of numbers, and the data hold none
    "anyOf": _any,
    "allOf": _every,
    "oneOf": _one,
    "not": _not,
    "if": _if,
}
