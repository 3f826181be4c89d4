"""Act keys to plain acts: device words translated, names looked up, each act held against the part's role."""

from __future__ import annotations

from collections.abc import Sequence

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.nearest import nearest
from proctool.model.plan import Act
from proctool.model.procedure import WrittenAct
from proctool.model.unit import Part
from proctool.model.words import (
    ACT_WORDS,
    THING_ACTS,
    VERBS,
    Device,
    Lock,
    Role,
    plain_verb,
)
from proctool.network.cuts import sees
from proctool.resolve.scope import Job, Scope, kind_of, names_in

_FITS: dict[Role | Device, str] = {
    Role.SOURCE: "Nothing is done to a source; act on its isolator.",
    Role.ISOLATOR: "Write `isolate` or `connect`; `dismantle` or `reassemble` where its body is meant.",
    Role.VENT: "A vent is opened, closed, dismantled.",
    Role.GAUGE: "A gauge is read, or named with `by:`.",
    Device.VALVE: "Write `close` or `open`; `dismantle` or `reassemble` where its body is meant.",
    Device.PLUG: "Write `unplug` or `plug_in`; `dismantle` or `reassemble` where its body is meant.",
    Device.BREAKER: "Write `switch_off` or `switch_on`: open and close are read both ways.",
    Device.DISCONNECTOR: "Write `switch_off` or `switch_on`: open and close are read both ways.",
}
"""What is done to the parts that few acts fit."""
_OF_PARTS = frozenset({"fit", "remove"})
"""Acts on a property of a part; what is cleaned or lubricated is said in words."""
_POSITIONS = frozenset(
    {"open", "close", "unplug", "plug_in", "switch_off", "switch_on", "shut", "vent", "stop", "start"}
)
"""Words by which one may mean to move an isolator."""


def plain_acts(job: Job, scope: Scope, written: tuple[WrittenAct, ...]) -> tuple[Act, ...]:
    """The plain acts of a step, in the order written; a list of parts is one act for each."""
    acts: list[Act] = []
    for act in written:
        if act.verb.text not in ACT_WORDS:
            job.unknown(act.verb, "act", sorted(ACT_WORDS))
        elif act.verb.text == "tell":
            acts += (Act("tell", "", act.verb.span, what=name.text) for name in names_in(act.value))
        elif act.verb.text in THING_ACTS:
            acts += _on_thing(job, scope, act)
        elif isinstance(act.value, Mapping):
            acts += _with_details(job, scope, act, act.value)
        else:
            for part in job.parts(scope, act.value):
                acts += _on_part(job, scope, act.verb, part)
    return tuple(acts)


def _on_thing(job: Job, scope: Scope, act: WrittenAct) -> list[Act]:
    """fit, remove, clean, lubricate: a property's name, or `{part, what}` where several parts stand open."""
    verb = act.verb.text
    if isinstance(act.value, Mapping):
        things = names_in(act.value.get("what"))
        parts = job.parts(scope, act.value.get("part"))
        for name in things if verb in _OF_PARTS else ():
            _is_property(job, name, parts)
        what = ", ".join(name.text for name in things)
        return [Act(verb, part.id, act.verb.span, what=what) for part in parts]
    acts = []
    for name in names_in(act.value):
        found = job.find(scope, name.text)
        if found is None:
            if verb in _OF_PARTS:
                _is_property(job, name, tuple(job.unit.parts.values()))
            acts.append(Act(verb, "", act.verb.span, what=name.text))
        else:
            acts += (Act(verb, part, act.verb.span) for part in found)
    return acts


def _is_property(job: Job, name: Scalar, parts: Sequence[Part]) -> None:
    """Note a slip: a thing nearly named as a property or supply, or one that only other parts have.

    Any other text is a text.
    """
    known = {key.text for part in parts for key, _ in part.properties} | job.library.supplies.keys()
    elsewhere = any(name.text in part.properties for part in job.unit.parts.values())
    if name.text not in known and (elsewhere or nearest(name.text, known) is not None):
        job.unknown(name, "property of the part it belongs to, and no supply", known)


def _with_details(job: Job, scope: Scope, act: WrittenAct, value: Mapping) -> list[Act]:
    """`verify_zero: {part, by}`, `dose: {part, energy}`."""
    by = _by(job, scope, value.get("by"))
    if "by" in value and by is None:
        return []
    energy = value.get("energy")
    if isinstance(energy, Scalar) and energy.text not in job.unit.energies:
        job.unknown(energy, "energy of this unit", job.unit.energies)
        return []
    acts = []
    for part in job.parts(scope, value.get("part")):
        named = energy.text if isinstance(energy, Scalar) else None
        acts += _on_part(job, scope, act.verb, part, by=by, energy=named)
    return acts


def _by(job: Job, scope: Scope, node: Node | None) -> Part | None:
    """The gauge or vent that shows zero."""
    for part in job.parts(scope, node):
        if part.role in {Role.GAUGE, Role.VENT}:
            return part
        job.fault(
            "graph/act-unfit",
            f"`{part.id}` is {kind_of(part)}; only a gauge or a vent can show zero.",
            names_in(node)[0].span,
        )
    return None


def _on_part(
    job: Job, scope: Scope, word: Scalar, part: Part, *, by: Part | None = None, energy: str | None = None
) -> list[Act]:
    verb = plain_verb(word.text, part.role, part.device, part.runs is not None)
    unfit = _unfit(job, word.text, verb, part, energy)
    if unfit is not None or verb is None:
        job.fault("graph/act-unfit", unfit or f"`{word.text}` does not fit `{part.id}`.", word.span)
        return []
    if verb == "verify_zero" and by is None:
        return _every_energy(job, scope, word, part)
    return [Act(verb, part.id, word.span, by=by.id if by else None, energy=energy)]


def _unfit(job: Job, word: str, verb: str | None, part: Part, energy: str | None) -> str | None:
    """Why an act does not fit a part, or None where it does."""
    label = f"`{part.id}`"
    if verb is None or part.role not in VERBS[verb].roles:
        said = f"`{word}` does not fit {label}, which is {kind_of(part)}."
        if part.role is Role.ISOLATOR and word not in _POSITIONS:
            return f"{said} An isolator is isolated, throttled, connected, restored, locked, dismantled."
        hint = (_FITS.get(part.device) if part.device else None) or _FITS.get(part.role, "")
        return f"{said} {hint}".strip()
    if verb == "lock" and part.lock is Lock.NONE:
        return f"{label} cannot be locked (`lock: none`)."
    if verb == "throttle" and not part.throttles:
        return f"{label} does not throttle. Only an isolator with `throttles: true` can stand part open."
    if verb in {"start", "stop", "try_start"} and part.runs is None:
        return f"{label} does not run. Say which energy drives it with `runs:`."
    if verb in {"cover", "uncover"} and not part.covered:
        return f"{label} has no cover. A part behind a cover says `cover: true`."
    if verb == "dose":
        if energy is None:
            return f"`dose` says which energy it brings in: `dose: {{part: {part.id}, energy: …}}`."
        if not job.network.on_line[energy] >> job.network.place[part.id] & 1:
            return f"{label} stands on no line of {energy}."
    return None


def _every_energy(job: Job, scope: Scope, word: Scalar, part: Part) -> list[Act]:
    """`verify_zero: part` alone: one act for each energy, by the first gauge, else vent, that can see it.

    What can see it is worked out with everything isolated and vented that is opened together with the part.
    """
    acts = []
    together = next((s for s in (scope.values.get("opens", ()), job.opens) if part.id in s), (part.id,))
    for energy in job.unit.energies.values():
        if not job.network.on_line[energy.id] >> job.network.place[part.id] & 1:
            continue
        by = sees(job.network, part.id, energy.id, together)
        if by is None:
            job.fault(
                "graph/act-unfit",
                f"No gauge and no vent can show zero of {energy.name} at `{part.id}`.",
                word.span,
                help="Add a gauge or tester to the unit, or name one: `verify_zero: {part: …, by: …}`.",
            )
        else:
            acts.append(Act("verify_zero", part.id, word.span, by=by, energy=energy.id))
    return acts
