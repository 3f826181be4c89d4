"""A schema error as a sentence for people: found, expected, the nearest right name, and the place.

The validator speaks in paths and branches of the schema; each error becomes findings at the key or value that
is to be changed. The noun for what was expected is the `title` of the schema that was not met, so that editor
and message use the same words. `errorMessage` in a schema is the sentence for what no keyword can say well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING, Any, cast

from proctool.model.document import Kind, Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean, nearest
from proctool.model.span import Span
from proctool.source.cuts import TEXT_KEYS, mend
from proctool.source.text import shortened

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError

_LONGEST = 195
_GUESSED = 25
"""For so many surplus keys of one map the right name is sought."""
_MANY = 9
"""More words than this are not listed; the nearest one is named."""


def findings_of(
    errors: Iterable[ValidationError], root: Mapping, kind: Kind, limit: int
) -> tuple[list[Finding], int]:
    """One finding for each fault, the first of the file first, and how many errors were left untold.

    What only follows from another fault is left out. Words are found for about `limit` errors only: the
    nearest right name of thousands would take a while, and nobody reads them.
    """
    flat = [error for raw in errors for error in _relevant(raw)]
    flat.sort(key=lambda error: _place(error, root))
    told, rest = flat[:limit], flat[limit:]
    meant = {tuple(e.absolute_path): _meant(e) for e in told if e.validator == "additionalProperties"}
    findings: set[Finding] = set()
    for error in told:
        lacks = "errorMessage" in _schema(error) and _key_name(error) is None
        slips = meant.get(tuple(error.absolute_path))
        if slips is not None and (lacks or (error.validator == "required" and slips & set(_missing(error)))):
            continue  # a step has no act because its act is misspelt: that is told already
        findings.update(_told(error, root, kind))
    return sorted(findings, key=lambda finding: finding.sort_key), len(rest)


def _place(error: ValidationError, root: Mapping) -> tuple[int, int, str]:
    """Where an error stands in the file; those of one map stay together."""
    _, _, node = _locate(root, tuple(error.absolute_path))
    return node.span.line, node.span.column, str(error.validator)


def _meant(error: ValidationError) -> set[str]:
    """The right names of the surplus keys of a map."""
    known = list(_schema(error).get("properties", {}))
    surplus = (key for key in cast("Any", error.instance) if key not in known)
    return {name for key in islice(surplus, _GUESSED) if (name := nearest(key, known))}


def _missing(error: ValidationError) -> list[str]:
    return [name for name in cast("Any", error.validator_value) if name not in cast("Any", error.instance)]


def _schema(error: ValidationError) -> dict[str, Any]:
    """The schema that was not met."""
    return error.schema if isinstance(error.schema, dict) else {}


def _relevant(error: ValidationError) -> list[ValidationError]:
    """Errors that matter: of alternatives, those of the one that was meant."""
    if error.validator not in {"anyOf", "oneOf"} or "errorMessage" in _schema(error) or not error.context:
        return [error]
    branches: dict[object, list[ValidationError]] = {}
    for child in error.context:
        branches.setdefault(child.relative_schema_path[0], []).append(child)
    fitting = [b for b in branches.values() if not any(_of_shape(child) for child in b)]
    if not fitting:
        return [error]
    best = min(fitting, key=lambda branch: (len(branch), -max(len(e.relative_path) for e in branch)))
    return [inner for child in best for inner in _relevant(child)]


def _of_shape(error: ValidationError) -> bool:
    """Whether an alternative was not meant at all: it wants a map and there is a list, and so on."""
    if error.validator in {"anyOf", "oneOf"}:
        return not error.relative_path and all(_of_shape(child) for child in error.context or ())
    return error.validator == "type" and not error.relative_path


def _key_name(error: ValidationError) -> str | None:
    """The key that an error is about, where it is about the name of a key."""
    return str(error.instance) if "propertyNames" in error.absolute_schema_path else None


def _told(error: ValidationError, root: Mapping, kind: Kind) -> Iterator[Finding]:
    path = tuple(error.absolute_path)
    owner, key, node = _locate(root, path)
    what = _noun(path, kind)
    name = _key_name(error)
    schema, found = _schema(error), cast("Any", error.instance)
    if name is not None:
        yield _fault(_key_span(node, name) or _span(key, node), _wrong_key(error, name, what))
    elif error.validator == "additionalProperties":
        known = list(schema.get("properties", {}))
        surplus = [k for k, _ in node if k.text not in known] if isinstance(node, Mapping) else []
        for count, extra in enumerate(surplus):
            yield _fault(extra.span, _unknown(extra.text, known if count < _GUESSED else [], what))
    elif "errorMessage" in schema:
        yield _fault(_owner_span(owner, key, node), f"{_capital(what)} {schema['errorMessage']}.")
    elif error.validator == "required":
        needed = _list(_missing(error), "and")
        yield _fault(_owner_span(owner, key, node), f"{_capital(what)} needs {needed}.")
    elif _cut(path, error):
        message = f"{_capital(what)} must be a text; found {_found(found)}: a brace or colon made it one"
        yield _fault(node.span, f"{message}{mend()}.", rule="wording/cut-text")
    elif found == "":
        yield _fault(_span(key, node), f"{_capital(what)} has no value; expected {_expected(error)}.")
    else:
        yield _fault(
            node.span, f"{_capital(what)} must be {_expected(error)}; found {_found(found)}.{_nearest(error)}"
        )


def _wrong_key(error: ValidationError, name: str, what: str) -> str:
    schema = _schema(error)
    if "errorMessage" in schema:
        return f"`{shortened(name)}` {schema['errorMessage']}."
    if error.validator == "enum":
        return _unknown(name, _words(error), what)
    return f"`{shortened(name)}` must be {schema.get('title', 'a name')}."


def _unknown(name: str, known: list[str], what: str) -> str:
    message = f"`{shortened(name)}` is not a key of {what}."
    if nearest(name, known):
        return message + did_you_mean(name, known)
    return message + (f" Expected {_list(known)}." if 0 < len(known) <= _MANY else "")


def _cut(path: tuple[str | int, ...], error: ValidationError) -> bool:
    """A map or list where a sentence belongs."""
    key = path[-1] if path else None
    return (
        error.validator in {"type", "anyOf"} and key in TEXT_KEYS and isinstance(error.instance, dict | list)
    )


def _expected(error: ValidationError) -> str:
    """The noun for what should stand there."""
    if error.validator in {"minItems", "minProperties", "maxProperties", "maxItems", "uniqueItems"}:
        return _size(error)
    words = _words(error)
    if words and len(words) <= _MANY:
        return _list(words)
    noun = str(_schema(error).get("title", "something else"))
    return f"{noun}, at most {error.validator_value} characters" if error.validator == "maxLength" else noun


def _size(error: ValidationError) -> str:
    schema = _schema(error)
    title = str(schema.get("title", "a list" if isinstance(error.instance, list) else "a map"))
    if error.validator == "uniqueItems":
        return f"{title}, none of them twice"
    if error.validator == "minProperties" and error.validator_value == 1 and schema.get("maxProperties") != 1:
        return f"{title}, not empty"
    if error.validator == "minItems" and error.validator_value == 1:
        return f"{title}, not empty"
    return title


def _words(error: ValidationError) -> list[str]:
    if error.validator != "enum":
        return []
    return [word for word in cast("list[object]", error.validator_value) if isinstance(word, str)]


def _nearest(error: ValidationError) -> str:
    if isinstance(error.instance, str):
        return did_you_mean(error.instance, _words(error))
    if isinstance(error.instance, dict) and error.validator == "maxProperties":
        return " Give each a map of its own."
    return ""


def _found(instance: object) -> str:
    if isinstance(instance, str):
        return f"`{shortened(instance)}`" if instance else "nothing"
    if isinstance(instance, list):
        return f"a list with {len(instance)} entr{'y' if len(instance) == 1 else 'ies'}"
    if isinstance(instance, dict):
        return (
            f"a map with {_list([shortened(str(key)) for key in instance][:3], 'and')}"
            if instance
            else "an empty map"
        )
    return f"`{instance}`"


def _noun(path: tuple[str | int, ...], kind: Kind) -> str:
    """What stands at a path, as a person would call it."""
    if not path:
        return f"a {kind} file" if kind is not Kind.UNIT else "a unit file"
    last = path[-1]
    names = [part for part in path if isinstance(part, str)]
    if isinstance(last, str):
        return f"`{shortened(last)}`"
    if not names:
        return "an entry"
    return "a step" if names[-1] in {"steps", "any_order"} else f"an entry of `{shortened(names[-1])}`"


def _locate(root: Mapping, path: tuple[str | int, ...]) -> tuple[Node | None, Scalar | None, Node]:
    """The node at a path, the key it stands under (None in a list), and the node that holds it."""
    owner: Node | None = None
    key: Scalar | None = None
    node: Node = root
    for step in path:
        owner, key = node, None
        if isinstance(node, Mapping) and isinstance(step, str):
            key, child = node.key(step), node.get(step)
        elif isinstance(node, Sequence) and isinstance(step, int):
            child = node.items[step]
        else:
            child = None
        if child is None:
            break
        node = child
    return owner, key, node


def _owner_span(owner: Node | None, key: Scalar | None, node: Node) -> Span:
    """Where something is missing in a map: at its key, else at its own first key."""
    if key is not None and owner is not None:
        return key.span
    return node.entries[0][0].span if isinstance(node, Mapping) and node.entries else node.span


def _span(key: Scalar | None, node: Node) -> Span:
    return key.span if key is not None else node.span


def _key_span(node: Node, name: str) -> Span | None:
    key = node.key(name) if isinstance(node, Mapping) else None
    return key.span if key is not None else None


def _fault(span: Span, message: str, rule: str = "file/schema") -> Finding:
    return file_fault(rule, message if len(message) <= _LONGEST else message[: _LONGEST - 1] + "…", span)


def _list(words: Iterable[str], last: str = "or") -> str:
    quoted = [f"`{word}`" for word in words]
    return ", ".join(quoted[:-1]) + f" {last} {quoted[-1]}" if len(quoted) > 1 else "".join(quoted)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
