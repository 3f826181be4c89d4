"""What applies to this unit: `when` on a step, `only` on an `each`."""

from __future__ import annotations

from collections.abc import Collection

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.nearest import did_you_mean
from proctool.model.quantity import Quantity, compare, parse
from proctool.model.unit import Part
from proctool.model.words import FORM_GROUPS, Control, Device, Form, Lock, Role
from proctool.network.reach import Network
from proctool.resolve.scope import Job, Scope, names_in

_CHOICES: dict[str, frozenset[str]] = {
    "role": frozenset(Role),
    "device": frozenset(Device),
    "lock": frozenset(Lock),
    "operated_by": frozenset({"site", "unit"}),
}
_FLAGS = frozenset({"throttles", "traps_air", "piped", "end", "cover", "exclusive_control", "feeds_back"})
_FREE = frozenset({"tag", "place", "name", "normal", "seal", "tighten", "runs", "to", "energy", "at"})


def applies(job: Job, scope: Scope, when: Mapping | None) -> bool:
    """Whether every key of a `when` holds for this unit."""
    return when is None or all([_holds(job, scope, key, value) for key, value in when])


def _holds(job: Job, scope: Scope, key: Scalar, value: Node) -> bool:
    unit = job.unit
    words = {name.text for name in names_in(value)}
    match key.text:
        case "fitted" | "not_fitted":
            _all_known(job, value, "part of any unit of this library", job.known.parts)
            fitted = [name in unit.parts for name in words]
            return all(fitted) if key.text == "fitted" else not any(fitted)
        case "unit":
            _all_known(job, value, "unit of this library", job.known.units)
            return unit.id in words
        case "family":
            if job.known.every_family:
                _all_known(job, value, "family of units", job.known.families)
            return unit.family in words
        case "lockout":
            _all_known(job, value, "kind of lockout", [c.value for c in Control])
            return unit.control.value in words
        case "fact":
            facts = value.entries if isinstance(value, Mapping) else ()
            return all([_same(job, name, wanted) for name, wanted in facts])
    if key.text in scope.copies and isinstance(value, Mapping):
        return all(passes(job, value, part) for part in scope.values[key.text])
    known = ("fitted", "not_fitted", "unit", "family", "lockout", "fact", *sorted(scope.copies))
    job.unknown(key, "word of `when` and no name given by an `each`", known)
    return False


def _all_known(job: Job, names: Node, what: str, known: Collection[str]) -> None:
    """A name that no unit has would leave the step out everywhere without a word."""
    for name in names_in(names):
        if name.text not in known:
            job.unknown(name, what, known)


def _same(job: Job, name: Scalar, wanted: Node) -> bool:
    _all_known(job, name, "fact of any unit of this library", job.known.facts)
    if name.text not in job.unit.facts:
        return False
    return any(same_value(job.unit.facts[name.text], text.text) for text in names_in(wanted))


def same_value(a: str, b: str) -> bool:
    """Whether two texts say the same: as quantities where both are, else letter by letter."""
    left, right = parse(a), parse(b)
    if isinstance(left, Quantity) and isinstance(right, Quantity):
        return compare(left, right) == 0
    return a == b


def passes(job: Job, wanted: Mapping, part_id: str) -> bool:
    """Whether a part has every property that a filter asks for. Unknown words are noted."""
    part = job.unit.parts[part_id]
    return all([_passes(job, key, value, part) for key, value in wanted])


def _passes(job: Job, key: Scalar, value: Node, part: Part) -> bool:
    if key.text == "carries":
        return any([_carries(job, word, part) for word in names_in(value)])
    choices = _CHOICES.get(key.text)
    own = job.known.properties
    if choices is None and key.text not in _FLAGS | _FREE | own:
        known = ("carries", *_CHOICES, *sorted(_FLAGS | _FREE | own))
        job.unknown(key, "property of a part", known)
        return False
    for word in names_in(value):
        if choices is not None and word.text not in choices:
            job.unknown(word, f"`{key.text}`", sorted(choices))
        if key.text in _FLAGS and word.text.lower() not in {"true", "false"}:
            job.fault("file/schema", f"Found `{word.text}`; expected true or false.", word.span)
    return any(same_value(property_of(part, key.text), word.text) for word in names_in(value))


def property_of(part: Part, name: str) -> str:
    """A property as a text, with the value it has when the file does not say."""
    unsaid = {
        "role": part.role.value,
        "lock": part.lock.value,
        "operated_by": "site" if part.site else "unit",
        "feeds_back": "true" if part.feeds_back else "false",
    }
    return unsaid.get(name) or part.text(name) or ("false" if name in _FLAGS else "")


def _carries(job: Job, word: Scalar, part: Part) -> bool:
    network: Network = job.network
    bit = 1 << network.place[part.id]
    carried = [e for e in job.unit.energies.values() if network.on_line[e.id] & bit]
    if word.text in job.unit.energies:
        return any(e.id == word.text for e in carried)
    if word.text in FORM_GROUPS:
        return any(e.form in FORM_GROUPS[word.text] for e in carried)
    if word.text in set(Form):
        return any(e.form.value == word.text for e in carried)
    known = (*job.unit.energies, *FORM_GROUPS, *(f.value for f in Form))
    job.fault(
        "graph/unknown-name",
        f"`{word.text}` is no form, group of forms or energy.{did_you_mean(word.text, known)}",
        word.span,
    )
    return False
