"""Texts filled with names, properties and quantities; sentences for steps that have no text of their own."""

from __future__ import annotations

import re
from collections.abc import Sequence

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import Act
from proctool.model.quantity import Quantity, dimension, parse, show
from proctool.model.unit import Part
from proctool.model.words import VERBS
from proctool.resolve.scope import Job, Scope

_NAME = re.compile(r"\\<|<(?![\s0-9=])([^<>\n]*)>?")
_MARKUP = re.compile(r"([\\`*_\[\]<>])")


def fill(job: Job, scope: Scope, text: Scalar, extra: dict[str, str] | None = None) -> str:
    r"""A text with its `<names>` filled. `\<` is a plain sign, and `<` before a blank or digit is too.

    Filled texts are never filled again; signs that mean something in CommonMark are made plain in them.
    """

    def filled(match: re.Match[str]) -> str:
        name = match.group(1)
        if name is None:
            return r"\<"
        value = _value(job, scope, name, extra or {})
        if value is None or not match.group().endswith(">"):
            known = (
                *scope.values,
                *job.unit.parts,
                *job.unit.facts,
                *job.library.tools,
                *job.library.supplies,
            )
            job.unknown(Scalar(name, text.span), "name that can stand in a text", (*known, *(extra or {})))
            return name
        return _MARKUP.sub(r"\\\1", value)

    return _NAME.sub(filled, text.text)


def _value(job: Job, scope: Scope, name: str, extra: dict[str, str]) -> str | None:
    if name in extra:
        return extra[name]
    owner, dot, key = name.partition(".")
    parts = [job.unit.parts[i] for i in job.find(scope, owner) or ()]
    if dot:
        said = [part.text(key) for part in parts]
        return " and ".join(shown(job, text) for text in said if text) if parts and all(said) else None
    if parts:
        return " and ".join(part.label for part in parts)
    if name in job.unit.facts:
        return shown(job, job.unit.facts[name])
    for group in (job.library.tools, job.library.supplies, job.library.ppe, job.library.people):
        if name in group:
            job.used[name] = None
            return group[name]
    return name.replace("_", " ") if name in job.conditions else None


def shown(job: Job, text: str) -> str:
    """A quantity in the measures that the library shows, anything else as it is."""
    quantity = parse(text)
    if not isinstance(quantity, Quantity) or not quantity.measure:
        return text
    return show(quantity, job.library.shows.get(dimension(quantity.measure), ()))


def sentences(job: Job, scope: Scope, acts: Sequence[Act]) -> str:
    """What a step without a text says: the library's sentence for each act, one after the other."""
    said = [_sentence(job, scope, act) for act in acts]
    return " ".join(dict.fromkeys(said))


def _sentence(job: Job, scope: Scope, act: Act) -> str:
    part = job.unit.parts.get(act.part)
    written = _written(job, act.verb, part)
    by = job.unit.parts.get(act.by or "")
    energy = job.unit.energies.get((by.energy or "") if by is not None else "")
    extra = {
        "part": part.label if part is not None else act.what.replace("_", " "),
        "by": by.label if by is not None else "",
        "safe": shown(job, energy.safe) if energy is not None and energy.safe else "zero",
        "energy": job.unit.energies[act.energy].name if act.energy else "",
        "what": act.what.replace("_", " "),
    }
    if part is not None:
        extra |= {
            f"part.{key.text}": shown(job, v.text) for key, v in part.properties if isinstance(v, Scalar)
        }
    if written is None:
        plain = VERBS[act.verb].phrase if part is not None else _about(act)
        written = Scalar(plain, act.span)
    return fill(job, scope, written, extra)


def _about(act: Act) -> str:
    """The sentence of an act on people or on a thing."""
    said = {
        "tell": "Tell the <what>.",
        "fit": "Fit the <what>.",
        "remove": "Take the <what> out.",
        "clean": "Clean the <what>.",
        "lubricate": "Lubricate the <what>.",
    }
    return said[act.verb]


def _written(job: Job, verb: str, part: Part | None) -> Scalar | None:
    """The library's sentence for an act: by device, else by role, else the plain text."""
    found = job.library.sentences.get(verb) if job.library.sentences is not None else None
    if isinstance(found, Mapping) and part is not None:
        named = (part.device.value if part.device else "", part.role.value)
        found = next((v for name in named if isinstance(v := found.get(name), Scalar)), None)
    return found if isinstance(found, Scalar) else None
