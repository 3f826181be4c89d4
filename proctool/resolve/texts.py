"""Texts filled with names, properties and quantities; sentences for steps that have no text of their own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import replace
from typing import NamedTuple

from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Related
from proctool.model.nearest import did_you_mean
from proctool.model.plan import Act, Filled
from proctool.model.procedure import Entry, EntryKind, LibraryFile
from proctool.model.quantity import show_text
from proctool.model.unit import Part, Unit
from proctool.model.words import FREE_TEXT_ACTS, THING_ACTS, VERBS
from proctool.network.kept import per_unit
from proctool.resolve.draft import Draft
from proctool.resolve.scope import Job, Scope

_NAME = re.compile(r"\\<|<(?![\s0-9=]|$)([^<>\n]*)(>?)")
_MARKUP = re.compile(r"([\\`*_\[\]<>&])")
_NOTHING: ReadOnly[str, str] = {}


class _Value(NamedTuple):
    """What a name of a text stands for."""

    text: str
    part: str | None = None
    thing: str | None = None


class Text(NamedTuple):
    """A filled text, and what stands in it for a `<name>`."""

    text: str
    filled: tuple[Filled, ...] = ()


def fill(job: Job, scope: Scope, text: Scalar) -> str:
    """A text with its `<names>` filled, as `fill_text` does."""
    return fill_text(job, scope, text).text


def fill_text(
    job: Job,
    scope: Scope,
    text: Scalar,
    extra: ReadOnly[str, str] = _NOTHING,
    *,
    related: tuple[Related, ...] = (),
) -> Text:
    r"""A text with its `<names>` filled. `\<` is a plain sign, and `<` before a blank or digit is too.

    Filled texts are never filled again; signs that mean something in CommonMark are made plain in them.
    """
    whole, done = "", 0
    stretches: list[Filled] = []
    for match in _NAME.finditer(text.text):
        whole += text.text[done : match.start()]
        done = match.end()
        name = match[1]
        if name is None:
            whole += r"\<"
            continue
        values = _values(job, scope, name, extra) if match[2] else None
        if values is None:
            span = text.part(*match.span())
            _not_filled(job, scope, Scalar(name, span), extra, closed=bool(match[2]), related=related)
            whole += name
        for place, value in enumerate(values or ()):
            whole += " and " if place else ""
            start = len(whole)
            whole += _MARKUP.sub(r"\\\1", value.text)
            stretches.append(Filled(start, len(whole), value.part, value.thing))
    return Text(whole + text.text[done:], tuple(stretches))


def _values(job: Job, scope: Scope, name: str, extra: ReadOnly[str, str]) -> list[_Value] | None:
    """What a name of a text stands for; None for nothing."""
    if name in extra:
        return [_Value(extra[name])]
    owner, dot, key = name.partition(".")
    parts = [job.unit.parts[i] for i in job.find(scope, owner) or ()]
    if dot:
        said = [part.text(key) for part in parts]
        return [_Value(shown(job, text)) for text in said if text] if parts and all(said) else None
    if parts:
        return [_Value(part.label, part.id) for part in parts]
    if name in job.unit.facts:
        return [_Value(shown(job, job.unit.facts[name]))]
    for group in _things(job):
        if name in group:
            job.used[name] = None
            return [_Value(group[name], thing=name)]
    return [_Value(name.replace("_", " "))] if name in scope.conditions else None


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
        message = f"`{lacking.id}` has no `{key}`.{did_you_mean(key, own)}"
    else:
        known: Iterable[str] = (*scope.values, *job.unit.parts, *job.unit.facts, *scope.conditions, *extra)
        known = (*known, *(thing for group in _things(job) for thing in group))
        job.unknown(name, "name that can stand in a text", known, related=related)
        return
    job.fault("graph/unknown-name", message, name.span, related=related)


def shown(job: Job, text: str) -> str:
    """A quantity or range in the measures that the library shows, anything else as it is."""
    return show_text(text, job.library.shows)


def step_text(job: Job, scope: Scope, entry: Entry, draft: Draft) -> Text:
    """What a step says: its own text, else one of its reading or wait, else the sentences of its acts."""
    if entry.text is not None:
        return fill_text(job, scope, entry.text)
    gauge = job.unit.parts.get(draft.gauge or "")
    if entry.kind is EntryKind.WAIT:
        reads = entry.until.get("reads") if entry.until is not None else None
        said = shown(job, reads.text) if isinstance(reads, Scalar) else "so"
        until = f", until the {gauge.label} reads {said}" if gauge else ""
        return Text(f"Wait {shown(job, draft.lasts or '')}{until}.")
    if entry.kind is EntryKind.READ:
        return Text(f"Read the {gauge.label}." if gauge else "Read the gauge.")
    return _joined(dict.fromkeys(_sentence(job, act) for act in draft.acts))


def _joined(sentences: Iterable[Text]) -> Text:
    """Sentences one after the other."""
    whole = ""
    stretches: list[Filled] = []
    for text, filled in sentences:
        whole += " " if whole else ""
        moved = len(whole)
        stretches += (replace(f, start=f.start + moved, end=f.end + moved) for f in filled)
        whole += text
    return Text(whole, tuple(stretches))


class _Sentences:
    """The sentences of acts on one unit, as the library says them that was asked last."""

    def __init__(self, _: Unit) -> None:
        self._library: LibraryFile | None = None
        self._known: dict[tuple[str | None, ...], Text] = {}

    def of(self, library: LibraryFile) -> dict[tuple[str | None, ...], Text]:
        """The sentences known for a library, by what is done to what."""
        if self._library is not library:
            self._library, self._known = library, {}
        return self._known


_sentences = per_unit(_Sentences)


def _sentence(job: Job, act: Act) -> Text:
    """The library's sentence for an act; what it uses is noted as used. Faulty ones are told each time."""
    known = _sentences(job.unit).of(job.library)
    asked = act.verb, act.part, act.by, act.energy, act.what
    if asked not in known:
        faults = len(job.findings)
        text = _worded(job, act)
        if len(job.findings) > faults:
            return text
        known[asked] = text
    job.used |= dict.fromkeys(f.thing for f in known[asked].filled if f.thing is not None)
    return known[asked]


def _worded(job: Job, act: Act) -> Text:
    """The sentence of an act. It sees the part and what it is done with, no name of the step."""
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
    written = _written(job, act.verb, by, part)
    if written is not None:
        return fill_text(job, scope, written, extra, related=(Related(act.span, "the step that says so"),))
    plain = _about(act) if act.verb in THING_ACTS | FREE_TEXT_ACTS else VERBS[act.verb].phrase
    if act.verb == "tighten" and part is not None and part.tighten:
        plain = "Tighten the <part>: <part.tighten>."
    return fill_text(job, scope, Scalar(plain, act.span), extra)


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


def _written(job: Job, verb: str, by: Part | None, part: Part | None) -> Scalar | None:
    """The library's sentence for an act: by device, else by role, else the plain text.

    A gauge and an open vent show zero each in its own way, so what shows it is looked up before the part.
    """
    found = job.library.sentences.get(verb) if job.library.sentences is not None else None
    if isinstance(found, Mapping):
        named = [name for p in (by, part) if p is not None for name in (p.device, p.role) if name is not None]
        found = next((v for name in named if isinstance(v := found.get(name.value), Scalar)), None)
    return found if isinstance(found, Scalar) else None
