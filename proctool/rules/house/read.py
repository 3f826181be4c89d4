"""House rules as written to patterns, each name in them looked up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, Related, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import WrittenRule
from proctool.model.unit import Unit
from proctool.model.words import FORM_GROUPS, Form
from proctool.rules.house import pattern

_PLUGS = frozenset({"in_sight"})
"""Properties that rules of profiles ask for, said by a unit or not."""
_KEYS = frozenset({"act", "part", "tag", "role", "device", "carries", "by"})


@dataclass(frozen=True, slots=True)
class Names:
    """What the units and the library file call things."""

    parts: frozenset[str] = frozenset()
    tags: frozenset[str] = frozenset()
    energies: frozenset[str] = frozenset()
    properties: frozenset[str] = frozenset()
    conditions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    whole: bool = True
    """False where some unit could not be read: a name may be there and unseen."""


def names(
    units: Iterable[Unit], conditions: tuple[tuple[Scalar, tuple[str, ...]], ...], *, whole: bool
) -> Names:
    """The names that house rules may use."""
    units = tuple(units)
    parts = [part for unit in units for part in unit.parts.values()]
    return Names(
        parts=frozenset(part.id for part in parts),
        tags=frozenset(part.tag for part in parts if part.tag),
        energies=frozenset(energy for unit in units for energy in unit.energies),
        properties=_PLUGS | {key.text for part in parts for key, _ in part.properties},
        conditions={name.text: values for name, values in conditions},
        whole=whole,
    )


def house_rules(
    written: tuple[WrittenRule, ...], known: Names, reserved: Iterable[str]
) -> tuple[tuple[pattern.Sequence, ...], tuple[Finding, ...]]:
    """The rules of a library. One with a fault is left out and told.

    `reserved` are ids of proctool's own rules of the pack.
    """
    rules: dict[str, pattern.Sequence] = {}
    findings: list[Finding] = []
    for rule in written:
        name = f"house/{rule.name.text}"
        if name in rules:
            twice = Related(rules[name].span, "the other one")
            message = f"There are two house rules `{rule.name.text}`."
            findings.append(file_fault("graph/duplicate-id", message, rule.name.span, related=(twice,)))
            continue
        if name in reserved:
            message = f"`{name}` is a rule of proctool. Choose another name."
            findings.append(file_fault("graph/hidden-name", message, rule.name.span))
            continue
        read, faults = sequence(rule, name, known)
        findings += faults
        if read is not None:
            rules[name] = read
    return tuple(rules.values()), tuple(findings)


def sequence(
    written: WrittenRule, rule: str, known: Names
) -> tuple[pattern.Sequence | None, tuple[Finding, ...]]:
    """One rule; None where a name in it is unknown."""
    findings: list[Finding] = []
    said = {key.text: _matcher(value, known, findings) for key, value in written.matchers}
    between = tuple(_matcher(value, known, findings) for value in written.between)
    form: pattern.Pattern
    match said:
        case {"before": before, "first": first}:
            form = pattern.Precedence(before, first.each_part())
        case {"after": after, "must": must}:
            form = pattern.Response(after, must.each_part())
        case {"never": never}:
            form = pattern.Absence(never, (between[0], between[1]) if len(between) == 2 else None)
        case _:
            return None, tuple(findings)
    read = pattern.Sequence(rule, written.name, written.say, form, written.lockout)
    return (None if findings else read), tuple(findings)


def _matcher(node: Mapping, known: Names, findings: list[Finding]) -> pattern.Matcher:
    said = {key.text: _texts(value) for key, value in node}
    energies = {*known.energies, *FORM_GROUPS, *(form.value for form in Form)}
    looked_up: tuple[tuple[str, str, AbstractSet[str]], ...] = (
        ("part", "part of any unit", known.parts | known.tags),
        ("by", "gauge or vent of any unit", known.parts | known.tags),
        ("tag", "tag of any unit", known.tags),
        ("carries", "form, group of forms or energy", energies),
    )
    if known.whole:
        for word, what, names_known in looked_up:
            findings += _unknown(said.get(word, ()), what, names_known)
    conditions, properties = [], []
    for key, value in node:
        if key.text in _KEYS:
            continue
        words = frozenset(word.text for word in _texts(value))
        if key.text in known.conditions:
            values = known.conditions[key.text]
            findings += _unknown(_texts(value), f"value of `{key.text}`", values)
            conditions.append((key.text, words))
        else:
            if known.whole:
                what = "condition of the library and no property of a part"
                findings += _unknown((key,), what, {*known.conditions, *known.properties, *_KEYS})
            properties.append((key.text, words))

    def words_of(key: str) -> frozenset[str]:
        return frozenset(word.text for word in said.get(key, ()))

    return pattern.Matcher(
        act=next(iter(words_of("act")), None),
        parts=words_of("part"),
        tags=words_of("tag"),
        roles=words_of("role"),
        devices=words_of("device"),
        carries=words_of("carries"),
        by=words_of("by"),
        properties=tuple(properties),
        conditions=tuple(conditions),
        shown=_shown(node),
    )


def _unknown(written: Iterable[Scalar], what: str, known: Iterable[str]) -> Iterator[Finding]:
    known = set(known)
    for name in written:
        if name.text not in known:
            message = f"`{name.text}` is no {what}.{did_you_mean(name.text, known)}"
            yield file_fault("graph/unknown-name", message, name.span)


def _texts(node: Node) -> tuple[Scalar, ...]:
    items = node.items if isinstance(node, Sequence) else (node,)
    return tuple(item for item in items if isinstance(item, Scalar))


def _shown(node: Mapping) -> str:
    """A matcher as it is written in a rule."""
    said = []
    for key, value in node:
        words = [word.text for word in _texts(value)]
        said.append(f"{key.text}: {words[0] if len(words) == 1 else '[' + ', '.join(words) + ']'}")
    return "`{" + ", ".join(said) + "}`"
