"""What a step says besides its text and acts: needs, makes, warnings, figures, limits."""

from __future__ import annotations

from proctool.model.document import Scalar
from proctool.model.nearest import did_you_mean
from proctool.model.plan import Need, Picture
from proctool.model.procedure import Entry
from proctool.model.unit import Danger, Part
from proctool.model.words import POSITION_WORDS, Device, Role
from proctool.resolve.scope import Job, Scope, kind_of, names_in
from proctool.resolve.texts import fill

_HOLDER_WORDS = frozenset({"live", "relieved", "proven", "leak_checked", "running", "stopped"})


def needs(job: Job, scope: Scope, entry: Entry) -> tuple[Need, ...]:
    """What must hold before a step; each word is held against what it is said of."""
    found: list[Need] = []
    for key, value in entry.needs.entries if entry.needs is not None else ():
        words = names_in(value)
        if key.text in scope.conditions and key.text not in job.unit.parts:
            found += (Need(key.text, w.text, w.span) for w in words if _has_value(job, key, w))
        else:
            for part in _subjects(job, scope, key):
                found += (Need(part.id, w.text, w.span) for w in words if fits(job, part, w, _HOLDER_WORDS))
    return tuple(found)


def _subjects(job: Job, scope: Scope, key: Scalar) -> tuple[Part, ...]:
    ids = job.find(scope, key.text)
    if ids is None:
        known = (*job.unit.parts, *scope.values, *scope.conditions)
        job.unknown(key, "part of this unit and no condition", known)
    return tuple(job.unit.parts[i] for i in ids or ())


def fits(job: Job, part: Part, word: Scalar, more: frozenset[str] = frozenset()) -> bool:
    """Whether a word of `needs`, `starts` or `leaves` can be said of a part; if not it is noted."""
    known = {"open", "shut"} | more
    if part.role is Role.ISOLATOR:
        devices = [part.device] if part.device else list(Device)
        known = {"locked", "shut", *(said for device in devices for said in POSITION_WORDS[device])}
    elif part.role is Role.VENT:
        known = {"open", "shut", "closed"}
    elif not part.holder:
        known = {"open", "shut"} | (more & {"unchecked"})
    if not part.runs:
        known = known - {"running", "stopped"}
    if word.text not in known:
        job.fault(
            "graph/unknown-name",
            f"`{word.text}` cannot be said of `{part.id}`, which is {kind_of(part)}; "
            f"expected one of {', '.join(sorted(known))}.{did_you_mean(word.text, known)}",
            word.span,
        )
    return word.text in known


def _has_value(job: Job, name: Scalar, value: Scalar) -> bool:
    known = job.conditions[name.text]
    if value.text not in known:
        job.unknown(value, f"value of condition `{name.text}`", known)
    return value.text in known


def makes(job: Job, scope: Scope, entry: Entry) -> tuple[tuple[str, str], ...]:
    """Conditions that a step makes true."""
    found: list[tuple[str, str]] = []
    for key, value in entry.makes.entries if entry.makes is not None else ():
        if key.text not in scope.conditions:
            job.unknown(key, "condition that is declared here", sorted(scope.conditions))
        else:
            found += ((key.text, v.text) for v in names_in(value) if _has_value(job, key, v))
    return tuple(found)


def dangers(job: Job, entry: Entry) -> tuple[Danger, ...]:
    """The safety messages that `warn` names."""
    for name in entry.warn:
        if name.text not in job.dangers:
            job.unknown(name, "danger of this procedure or library", job.dangers)
    return tuple(job.dangers[name.text] for name in entry.warn if name.text in job.dangers)


def notes(job: Job, scope: Scope, entry: Entry) -> tuple[str, ...]:
    """Notes with their names filled."""
    return tuple(fill(job, scope, note) for note in entry.notes)


def use(job: Job, entry: Entry) -> tuple[str, ...]:
    """The tools and supplies that `using` names, noted as used."""
    if not entry.using:
        return ()
    known = {**job.library.tools, **job.library.supplies, **job.library.ppe}
    for name in entry.using:
        if name.text not in known:
            job.unknown(name, "tool or supply of the library", known)
    named = tuple(name.text for name in entry.using if name.text in known)
    job.used |= dict.fromkeys(named)
    return named


def figure(job: Job, scope: Scope, entry: Entry) -> Picture | None:
    """The picture of a step; the file itself is looked at where files are read."""
    if entry.figure is None:
        return None
    file, alt = entry.figure.get("file"), entry.figure.get("alt")
    if not isinstance(file, Scalar):
        return None
    return Picture(file.text, fill(job, scope, alt) if isinstance(alt, Scalar) else "", file.span)


def gauge_of(job: Job, scope: Scope, entry: Entry) -> Part | None:
    """The gauge that a `read` step reads, or that ends a wait."""
    name = entry.gauge
    if name is None and entry.until is not None:
        found = entry.until.get("gauge")
        name = found if isinstance(found, Scalar) else None
    for part in job.parts(scope, name):
        if part.role is not Role.GAUGE:
            message = f"`{part.id}` is {kind_of(part)}, no gauge: it cannot be read."
            job.fault("graph/act-unfit", message, name.span if name else entry.span)
        return part
    return None
