"""The steps around the work itself: the parts are opened, and shut again with their seals looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from proctool.draft.writing.phrasebook import Phrases
from proctool.draft.writing.return_to import unfed
from proctool.draft.writing.way import Way
from proctool.draft.writing.written import Deed, Entry, Fallback, Group, Task
from proctool.model.quantity import Quantity, parse
from proctool.model.unit import Part
from proctool.model.words import WETTING, Role
from proctool.network.reach import Network
from proctool.prove.phrases import listed


def work(network: Network, way: Way, phrases: Phrases) -> Group:
    """Open, a place for the work, shut: the last one opened first."""
    parts = way.parts
    found = [network.unit.parts[name] for name in parts]
    steps: list[Entry] = [
        Task((Deed(_verbs(part)[0], part.id),), _text(_verbs(part)[0], part, phrases)) for part in found
    ]
    shut = [task for part in reversed(found) for task in _shut(part, phrases)]
    named = listed([part.label for part in found])
    steps += (replace(shut[0], why=tuple(_gaps(network, way, named))), *shut[1:])
    return Group("work", f"Open and close the {named}", tuple(steps))


def _gaps(network: Network, way: Way, named: str) -> Iterator[str]:
    """What a person has to write between opening and closing."""
    yield f"Write the work on the open {named} here."
    unit = network.unit
    for energy in (e for e in unit.energies.values() if e.form in WETTING):
        full = [
            unit.parts[p] for p in way.parts if energy.id in network.energies_of(p) and unit.parts[p].holder
        ]
        if full:
            stands = f"without pressure may still stand in the {listed([part.label for part in full])}"
            yield f"{energy.name[:1].upper()}{energy.name[1:]} {stands}: write above how it is emptied."
    for vent in (vent for vent in way.vents if unfed(network, vent)):
        gone = [e for e in network.energies_of(vent) if unit.energies[e].fluid and not network.sources[e]]
        names = listed([unit.energies[e].name for e in gone])
        out = f"went out through the {unit.parts[vent].label}"
        yield f"Nothing feeds the {names} that {out}: write how it comes back."


def _verbs(part: Part) -> tuple[str, str]:
    """The acts by which a part is opened and shut: of a device its body is meant."""
    device = part.role in {Role.ISOLATOR, Role.VENT}
    return ("dismantle", "reassemble") if device else ("open", "close")


def _shut(part: Part, phrases: Phrases) -> Iterator[Task]:
    name = part.id
    if part.seal is not None:
        seal = phrases.supplies.get(part.seal.casefold())
        unknown = (f"No supply of the library is called {part.seal}: name the one that fits.",)
        new = Task(
            (Deed("new_seal", name),),
            f"Fit a new <{seal or f'{name}.seal'}> to the <{name}>.",
            why=unknown if seal is None else (),
        )
        yield Task(
            (Deed("inspect_seal", name),),
            f"The <{name}.seal> of the <{name}> has no cut and no flat side.",
            check=True,
            id=f"seal-{name}",
            otherwise=Fallback((new,)),
        )
    yield Task((Deed(_verbs(part)[1], name),), _text(_verbs(part)[1], part, phrases))
    if part.tighten is not None:
        to = "to " if isinstance(parse(part.tighten), Quantity) else ""
        text = f"Tighten the <{name}> {to}<{name}.tighten>."
        yield Task((Deed("tighten", name),), "" if to and ("tighten", "") in phrases.sentences else text)


def _text(verb: str, part: Part, phrases: Phrases) -> str:
    plain = {"dismantle": "open", "reassemble": "close"}.get(verb, verb)
    own = f"{verb.capitalize()} the <{part.id}>." if plain != verb else ""
    return phrases.text(plain, part, own)
