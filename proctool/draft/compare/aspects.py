"""What a step says, aspect by aspect, in words: two steps differ where these do."""

from __future__ import annotations

import re
from collections.abc import Mapping as ReadOnly

from proctool.model.comparison import Difference
from proctool.model.plan import Act, BackTo, Continue, EndHere, Otherwise, Plan, Step

LASTS = "lasts"
LIMITS = "limits"
GUARDING = frozenset(
    {"kind", "acts", "needs", "makes true", "if it fails", "once", "warnings", "signature"}
    | {LASTS, LIMITS, "gauge"}
)
"""Aspects that the proof or a person's safety rests on; the others are words, figures and things."""

_MADE_PLAIN = re.compile(r"\\([!-/:-@\[-`{-~])")
"""Signs that were made plain for CommonMark."""


def differences(
    plan: Plan, step: Step, other_plan: Plan, other: Step, same: ReadOnly[str, str]
) -> tuple[Difference, ...]:
    """What the second step says otherwise than the first; a part with another name is still the same part."""
    was, now = aspects(plan, step), aspects(other_plan, other)
    keys, others = _keys(step, same), _keys(other, {})
    return tuple(
        Difference(name, was[name], now[name])
        for name in was
        if (keys[name] != others[name] if name in keys else was[name] != now[name])
    )


def _keys(step: Step, same: ReadOnly[str, str]) -> dict[str, object]:
    """The aspects that name parts, by ids: what tells whether they differ."""

    def id_of(name: str | None) -> str | None:
        return same.get(name, name) if name is not None else None

    return {
        "acts": tuple((a.verb, id_of(a.part), id_of(a.by), a.energy, a.what) for a in step.acts),
        "needs": tuple((id_of(need.name), need.word) for need in step.needs),
        "gauge": id_of(step.gauge),
    }


def aspects(plan: Plan, step: Step) -> ReadOnly[str, str]:
    """Each aspect of a step in words, in the order they are shown; empty where it has none."""
    return {
        "text": plain(step.text),
        "kind": step.kind.value,
        "acts": "; ".join(_act(plan, act) for act in step.acts),
        "needs": "; ".join(f"{label(plan, need.name)} {spaced(need.word)}" for need in step.needs),
        "makes true": "; ".join(f"{spaced(name)} {spaced(value)}" for name, value in step.makes),
        "if it fails": _ending(step.otherwise),
        "once": "done once, not again after going back" if step.once else "",
        "warnings": " / ".join(f"{d.word}: {d.hazard} {d.harm} {d.avoid}" for d in step.dangers),
        "signature": step.hold or "",
        LASTS: step.lasts or "",
        LIMITS: step.limits or "",
        "gauge": label(plan, step.gauge) if step.gauge else "",
        "notes": " / ".join(map(plain, step.notes)),
        "figure": f"{step.figure.file}: {step.figure.alt}" if step.figure else "",
        "things": ", ".join(spaced(name) for name in step.things),
    }


def _act(plan: Plan, act: Act) -> str:
    """A plain act in words: `verify zero: pump head H1 by inlet gauge P1 (water)`."""
    said = spaced(act.verb)
    said += f" {act.what}" if act.what else ""
    said += f": {label(plan, act.part)}" if act.part else ""
    said += f" by {label(plan, act.by)}" if act.by else ""
    energy = plan.unit.energies.get(act.energy or "")
    return said + (f" ({energy.name})" if energy else "")


def label(plan: Plan, name: str) -> str:
    """A part by name and tag; a condition's name in words."""
    part = plan.unit.parts.get(name)
    return part.label if part is not None else spaced(name)


def plain(text: str) -> str:
    """A filled text as people read it where nothing is marked up."""
    return _MADE_PLAIN.sub(r"\1", text)


def _ending(otherwise: Otherwise | None) -> str:
    """How a failing check goes on; the steps before that stand among the steps."""
    said: list[str] = []
    while otherwise is not None:
        ending = otherwise.ending
        match ending:
            case Continue():
                said.append("go on")
            case EndHere(text):
                said.append(f"stop here: {plain(text)}" if text else "stop here")
            case BackTo(target=target, at_most=times):
                said.append(f"back to {target}" + (f", at most {times} times" if times else ""))
        otherwise = ending.then if isinstance(ending, BackTo) else None
    return "; then ".join(said)


def spaced(name: str) -> str:
    """A name of the file format as words."""
    return name.replace("_", " ")
