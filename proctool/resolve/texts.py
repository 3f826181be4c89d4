"""Texts filled with names, properties and quantities; sentences for steps that have no text of their own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly

from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Related
from proctool.model.nearest import did_you_mean
from proctool.model.plan import Act
from proctool.model.procedure import Entry, EntryKind
from proctool.model.quantity import Quantity, dimension, parse, show
from proctool.model.span import Span
from proctool.model.unit import Part
from proctool.model.words import FREE_TEXT_ACTS, THING_ACTS, VERBS
from proctool.resolve.draft import Draft
from proctool.resolve.scope import Job, Scope

_NAME = re.compile(r"\\<|<(?![\s0-9=]|$)([^<>\n]*)(>?)")
_MARKUP = re.compile(r"([\\`*_\[\]<>&])")
_NOTHING: ReadOnly[str, str] = {}


def fill(
    job: Job,
    scope: Scope,
    text: Scalar,
    extra: ReadOnly[str, str] = _NOTHING,
    *,
    related: tuple[Related, ...] = (),
) -> str:
    r"""A text with its `<names>` filled. `\<` is a plain sign, and `<` before a blank or digit is too.

    Filled texts are never filled again; signs that mean something in CommonMark are made plain in them.
    """

    def filled(match: re.Match[str]) -> str:
        name = match[1]
        if name is None:
            return r"\<"
        value = _value(job, scope, name, extra) if match[2] else None
        if value is None:
            span = _place(text, *match.span())
            _not_filled(job, scope, Scalar(name, span), extra, closed=bool(match[2]), related=related)
            return name
        return _MARKUP.sub(r"\\\1", value)

    return _NAME.sub(filled, text.text)


def _value(job: Job, scope: Scope, name: str, extra: ReadOnly[str, str]) -> str | None:
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
    for group in _things(job):
        if name in group:
            job.used[name] = None
            return group[name]
    return name.replace("_", " ") if name in scope.conditions else None


def _things(job: Job) -> tuple[dict[str, str], ...]:
    """What a text may name besides parts and facts."""
    return job.library.tools, job.library.supplies, job.library.ppe, job.library.people


def _not_filled(
    job: Job,
    scope: Scope,
    name: Scalar,
    extra: ReadOnly[str, str],
    *,
    closed: bool,
    related: tuple[Related, ...],
) -> None:
    """Say why a name of a text stands for nothing."""
    owner, dot, key = name.text.partition(".")
    parts = [job.unit.parts[i] for i in job.find(scope, owner) or ()]
    lacking = next((part for part in parts if not part.text(key)), None)
    if closed and not name.text.strip():
        message = r"`<>` names nothing. Write `\<` where the sign is meant."
    elif not closed:
        message = f"`<{name.text}` has no `>`. Close the name, or write `\\<` where the sign is meant."
    elif dot and lacking is not None:
        own = [k.text for k, value in lacking.properties if isinstance(value, Scalar)]
        message = f"`{lacking.id}` of unit {job.unit.id} has no `{key}`.{did_you_mean(key, own)}"
    else:
        known: Iterable[str] = (*scope.values, *job.unit.parts, *job.unit.facts, *scope.conditions, *extra)
        known = (*known, *(thing for group in _things(job) for thing in group))
        job.unknown(name, "name that can stand in a text", known, related=related)
        return
    job.fault("graph/unknown-name", message, name.span, related=related)


def _place(text: Scalar, start: int, end: int) -> Span:
    """Where a piece of a text stands in its file; the whole text where it runs over several lines."""
    span = text.span
    quotes = 0 if text.plain else 1
    if span.line != span.end_line or span.end_column - span.column != len(text.text) + 2 * quotes:
        return span
    first = span.column + quotes
    return Span(span.file, span.line, first + start, span.line, first + end)


def shown(job: Job, text: str) -> str:
    """A quantity in the measures that the library shows, anything else as it is."""
    quantity = parse(text)
    if not isinstance(quantity, Quantity) or not quantity.measure:
        return text
    return show(quantity, job.library.shows.get(dimension(quantity.measure), ()))


def step_text(job: Job, scope: Scope, entry: Entry, draft: Draft) -> str:
    """What a step says: its own text, else one of its reading or wait, else the sentences of its acts."""
    if entry.text is not None:
        return fill(job, scope, entry.text)
    gauge = job.unit.parts.get(draft.gauge or "")
    if entry.kind is EntryKind.WAIT:
        reads = entry.until.get("reads") if entry.until is not None else None
        until = f", until the {gauge.label} reads {getattr(reads, 'text', 'so')}" if gauge else ""
        return f"Wait {shown(job, draft.lasts or '')}{until}."
    if entry.kind is EntryKind.READ:
        return f"Read the {gauge.label}." if gauge else "Read the gauge."
    return " ".join(dict.fromkeys(_sentence(job, act) for act in draft.acts))


def _sentence(job: Job, act: Act) -> str:
    """The library's sentence for an act. It sees the part and what it is done with, no name of the step."""
    part = job.unit.parts.get(act.part)
    by = job.unit.parts.get(act.by or "")
    energy = job.unit.energies.get((by.energy or "") if by is not None else "")
    what = act.what.replace("_", " ")
    extra = {
        "safe": shown(job, energy.safe) if energy is not None and energy.safe else "zero",
        "energy": job.unit.energies[act.energy].name if act.energy else "",
        "what": what,
    }
    extra |= {} if part is not None else {"part": what}
    extra |= {} if by is not None else {"by": ""}
    named = {"part": part, "by": by}
    scope = Scope(
        {name: (found.id,) for name, found in named.items() if found is not None},
        conditions=frozenset(key.text for key, _ in job.library.conditions),
    )
    written = _written(job, act.verb, by if act.verb == "verify_zero" and by is not None else part)
    if written is not None:
        return fill(job, scope, written, extra, related=(Related(act.span, "the step that says so"),))
    plain = _about(act) if act.verb in THING_ACTS | FREE_TEXT_ACTS else VERBS[act.verb].phrase
    return fill(job, scope, Scalar(plain, act.span), extra)


def _about(act: Act) -> str:
    """The sentence of an act on people or on a thing; what is more than a name brings its own article."""
    the = "" if " " in act.what else "the "
    thing = f"{the}<what>" + (" of the <part>" if act.part else "") if act.what else "the <part>"
    said = {
        "tell": f"Tell {thing}.",
        "fit": f"Fit {thing}.",
        "remove": f"Take {thing} out.",
        "clean": f"Clean {thing}.",
        "lubricate": f"Lubricate {thing}.",
    }
    return said[act.verb]


def _written(job: Job, verb: str, part: Part | None) -> Scalar | None:
    """The library's sentence for an act: by device, else by role, else the plain text.

    `part` is what the act is done to; for `verify_zero` what shows it, since a gauge and a vent show it each in
    its own way.
    """
    found = job.library.sentences.get(verb) if job.library.sentences is not None else None
    if isinstance(found, Mapping) and part is not None:
        named = (part.device.value if part.device else "", part.role.value)
        found = next((v for name in named if isinstance(v := found.get(name), Scalar)), None)
    return found if isinstance(found, Scalar) else None
