"""The words that a library uses for what a draft must say: whom to tell, what to do where zero is not shown.

They are looked for in the procedures for the unit and the blocks these use; what is found nowhere is said in
plain words of our own. A step of the library is taken over where it can be said of the unit as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from proctool.draft.writing.written import Deed, Fallback, Task
from proctool.model.document import Mapping, Scalar
from proctool.model.procedure import Block, Entry, EntryKind, LibraryFile, Procedure, WrittenOtherwise
from proctool.model.unit import Part, Unit
from proctool.model.words import VERBS, Control

_NAMED = re.compile(r"(?<!\\)<([^\s<>.]+)(\.[^<>]*)?>")
_OF_PART = re.compile(r"<part\.([^<>]*)>")
_OF_PEOPLE = frozenset({"tell", "prove_tester"})

_STOP = {
    Control.REQUIRED: "Leave the locks on and call for help.",
    Control.EXCLUSIVE: "Leave the unit as it is and call for help.",
}
"""How a job ends that cannot go on, where the library has no words for it."""

# 29 CFR 1910.147(e)(1) and (e)(2)(i).
_READY = (
    Task(
        text="No tool and no loose part lies on the unit.",
        check=True,
        id="clear",
        otherwise=Fallback((Task(text="Take away what lies on the unit."),)),
    ),
    Task(
        text="No other person stands at the unit.",
        check=True,
        id="alone",
        otherwise=Fallback((Task(text="Send every other person away from the unit."),)),
    ),
)


@dataclass(frozen=True, slots=True)
class Phrases:
    """What a library says, as steps to be written."""

    stops: tuple[Task, ...]
    """The affected people are told that the unit stops; nobody is where one person works on it alone."""
    starts: tuple[Task, ...]
    """They are told that it starts."""
    runs: tuple[Task, ...]
    """They are told that it is back."""
    not_zero: str
    """What is done when zero is not shown by a gauge or an open vent."""
    not_dead: str
    """What is done when a machine is not dead, or a tester does not show zero."""
    given_up: str
    """What is done when a leak cannot be mended."""
    made: ReadOnly[tuple[str, str], Task] = field(default_factory=dict)
    """For a condition's value the step that makes it so."""
    said: ReadOnly[str, tuple[Entry, str]] = field(default_factory=dict)
    """For a verb the check of the library with that one act, and the name that it gives the part."""
    ready: tuple[Task, ...] = ()
    """What is looked at before a lock comes off."""
    locks: tuple[str, ...] = ()
    """What the library lists as used where a lock is put on."""
    sentences: ReadOnly[tuple[str, str], str] = field(default_factory=dict)
    names: AbstractSet[str] = frozenset()
    """What texts may name besides parts and facts."""
    supplies: ReadOnly[str, str] = field(default_factory=dict)
    """The library's supplies by what they are called."""

    def text(self, verb: str, part: Part, otherwise: str = "") -> str:
        """The text of an act: none where the library's sentence can be said of the part, else our own."""
        device = part.device.value if part.device is not None else ""
        keys = ((verb, device), (verb, part.role.value), (verb, ""))
        said = next((self.sentences[key] for key in keys if key in self.sentences), None)
        if said is None:
            return otherwise
        if all(part.text(of) for of in _OF_PART.findall(said)):
            return ""
        return otherwise or VERBS[verb].phrase.replace("<part>", f"<{part.id}>")

    def of(self, verb: str, part: str, unit: Unit) -> Task | None:
        """The library's check for an act on a part of the unit, or None where it has none that fits."""
        found = self.said.get(verb)
        if found is None:
            return None
        entry, name = found
        return _task(entry, unit, self.names, {name: part})


def phrasebook(
    library: LibraryFile, procedures: Iterable[Procedure], blocks: ReadOnly[str, Block], unit: Unit
) -> Phrases:
    """The words of a library for one unit."""
    fitting = fitting_for(unit, procedures) or tuple(procedures)
    names = {*library.tools, *library.supplies, *library.ppe, *library.people}
    names |= {key.text for key, _ in library.conditions}
    lists = [entries for procedure in fitting for entries in _lists(procedure.entries, blocks)]
    every = [entry for entries in lists for entry in entries]
    told = [(task, _next(entries[place + 1 :])) for entries in lists for place, entry in enumerate(entries)
            if _verbs(entry) == ("tell",) and (task := _task(entry, unit, names))]  # fmt: skip
    ends = {by: end for e in reversed(every) for by, end in _ends(e)}
    then = [e.otherwise.then.end_here.text for e in every
            if e.otherwise and e.otherwise.then and e.otherwise.then.end_here]  # fmt: skip
    return Phrases(
        stops=_first(told, unit, "isolate", "Tell the people at the unit that it stops."),
        starts=_first(told, unit, "start", "Tell the people at the unit that it starts."),
        runs=_first(told, unit, "", "Tell the people at the unit that it is back in service."),
        not_zero=ends.get("gauge", _STOP[unit.control]),
        not_dead=ends.get("tester", _STOP[unit.control]),
        given_up=then[0] if then else "Take the unit out of use and call for help.",
        made={so: task for e in reversed(every) if (task := _making(e, unit, names)) for so in task.makes},
        said={verb: found for e in reversed(every) for verb, found in _said(e)},
        ready=_ready(lists, unit, names) or _READY,
        locks=next((words for e in every if "lock" in _verbs(e) and (words := _using(e))), ()),
        sentences=_sentences(library),
        names=names,
        supplies={thing.name.casefold(): thing.key.text for thing in library.things
                  if thing.key.text in library.supplies},
    )  # fmt: skip


def fitting_for(unit: Unit, procedures: Iterable[Procedure]) -> tuple[Procedure, ...]:
    """The procedures of a library that are for a unit."""
    return tuple(p for p in procedures if {word.text for word in p.units} & {unit.id, unit.family})


def _using(entry: Entry) -> tuple[str, ...]:
    return tuple(name.text for name in entry.using)


def _ready(lists: Iterable[tuple[Entry, ...]], unit: Unit, names: AbstractSet[str]) -> tuple[Task, ...]:
    """What is looked at before the first lock comes off, in the first list that takes one off."""
    for entries in lists:
        first = next((place for place, e in enumerate(entries) if "unlock" in _verbs(e)), 0)
        looks = (e for e in entries[:first] if e.kind is EntryKind.CHECK and not e.acts)
        if found := tuple(task for e in looks if (task := _task(e, unit, names))):
            return found
    return ()


def _sentences(library: LibraryFile) -> dict[tuple[str, str], str]:
    """The library's sentences by verb, and by device or role; for all where no more is said."""
    found: dict[tuple[str, str], str] = {}
    for verb, said in library.sentences or ():
        if isinstance(said, Scalar):
            found[verb.text, ""] = said.text
        elif isinstance(said, Mapping):
            found |= {(verb.text, of.text): t.text for of, t in said if isinstance(t, Scalar)}
    return found


def _lists(
    entries: Iterable[Entry], blocks: ReadOnly[str, Block], around: AbstractSet[str] = frozenset()
) -> Iterator[tuple[Entry, ...]]:
    """The steps of a procedure, then those of each block that it uses; what stands in groups in its place."""
    flat = tuple(inner for entry in entries for inner in _flat(entry))
    yield flat
    for name in (entry.block.text for entry in flat if entry.block is not None):
        if name in blocks and name not in around:
            yield from _lists(blocks[name].entries, blocks, around | {name})


def steps_of(entries: Iterable[Entry], blocks: ReadOnly[str, Block]) -> Iterator[Entry]:
    """Every entry of a list, in groups and in the blocks it uses; not those of an `otherwise`."""
    for found in _lists(entries, blocks):
        yield from found


def _flat(entry: Entry) -> Iterator[Entry]:
    yield entry
    for inner in entry.entries:
        yield from _flat(inner)


def _ends(entry: Entry) -> Iterator[tuple[str, str]]:
    """How a job ends where zero is not shown: by a gauge, or by a tester that is named."""
    if (
        _verbs(entry) == ("verify_zero",)
        and entry.otherwise is not None
        and entry.otherwise.end_here is not None
    ):
        named = not isinstance(entry.acts[0].value, Scalar)
        yield "tester" if named else "gauge", entry.otherwise.end_here.text


def _verbs(entry: Entry) -> tuple[str, ...]:
    return tuple(act.verb.text for act in entry.acts)


def _next(entries: Iterable[Entry]) -> str:
    """What comes after people are told: shutting off, a start, or nothing more."""
    for entry in entries:
        for verb in _verbs(entry):
            if verb in {"isolate", "start"}:
                return verb
    return ""


def _first(told: Iterable[tuple[Task, str]], unit: Unit, following: str, text: str) -> tuple[Task, ...]:
    found = tuple(task for task, after in told if after == following)[:1]
    own = (Task((Deed("tell", "the people at the unit"),), text),)
    return found or (own if unit.control is Control.REQUIRED else ())


def _making(entry: Entry, unit: Unit, names: AbstractSet[str]) -> Task | None:
    """A step that makes conditions so and moves nothing of the unit, if it can be said of this one."""
    if entry.makes is None or not set(_verbs(entry)) <= _OF_PEOPLE:
        return None
    return _task(entry, unit, names)


def _said(entry: Entry) -> Iterator[tuple[str, tuple[Entry, str]]]:
    """A check with one act on one name."""
    if entry.kind is EntryKind.CHECK and len(entry.acts) == 1:
        ((verb, value),) = ((act.verb.text, act.value) for act in entry.acts)
        if isinstance(value, Scalar):
            yield verb, (entry, value.text)


def _task(
    entry: Entry, unit: Unit, names: AbstractSet[str], meant: ReadOnly[str, str] | None = None
) -> Task | None:
    """A `do` or `check` of the library as a step of a draft; None where it cannot be said as it stands."""
    meant = meant or {}
    if entry.kind not in {EntryKind.DO, EntryKind.CHECK} or entry.text is None:
        return None
    if entry.when is not None or entry.needs is not None or entry.warn or entry.figure is not None:
        return None
    text = _filled(entry.text.text, unit, names, meant)
    deeds = tuple(_deeds(entry, meant))
    otherwise = _fallback(entry.otherwise, unit, names, meant)
    if text is None or None in deeds or (entry.otherwise is not None and otherwise is None):
        return None
    return Task(
        deeds=tuple(deed for deed in deeds if deed is not None),
        text=text,
        check=entry.kind is EntryKind.CHECK,
        id=entry.id.text if entry.id is not None and not meant else "",
        lasts=entry.lasts.text if entry.lasts is not None else "",
        makes=tuple((key.text, value.text) for key, value in entry.makes or () if isinstance(value, Scalar)),
        using=tuple(name.text for name in entry.using),
        otherwise=otherwise,
    )


def _deeds(entry: Entry, meant: ReadOnly[str, str]) -> Iterator[Deed | None]:
    for act in entry.acts:
        said = act.value.text if isinstance(act.value, Scalar) else None
        known = said is not None and (said in meant or act.verb.text == "tell")
        yield Deed(act.verb.text, meant.get(said, said)) if known and said is not None else None


def _fallback(
    written: WrittenOtherwise | None, unit: Unit, names: AbstractSet[str], meant: ReadOnly[str, str]
) -> Fallback | None:
    """An `otherwise` that ends the job or goes on; one that leads back is of its own procedure."""
    if written is None or written.back_to is not None:
        return None
    steps = [_task(entry, unit, names, meant) for entry in written.entries]
    if None in steps:
        return None
    end = written.end_here.text if written.end_here is not None else ""
    return Fallback(tuple(step for step in steps if step is not None), end)


def _filled(text: str, unit: Unit, names: AbstractSet[str], meant: ReadOnly[str, str]) -> str | None:
    """A text with the library's names turned into ids, or None where something has no meaning here."""
    for name, of in _NAMED.findall(text):
        part = unit.parts.get(meant.get(name, name))
        if (part is None or (of and not part.text(of[1:]))) and (of or name not in {*names, *unit.facts}):
            return None
    return _NAMED.sub(lambda match: f"<{meant.get(match[1], match[1])}{match[2] or ''}>", text)
