"""The steps that bring parts to zero, in the order of 29 CFR 1910.147(d).

(d)(2) shut down, (d)(3) isolate, (d)(4) lock, (d)(5) let out what is stored, (d)(6) verify. Heat goes before
any vent is opened, since what comes out would be as hot as before; what only waiting relieves of a fluid goes
after them, since what pushes it must be out first (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cmp_to_key

from proctool.draft.writing import why
from proctool.draft.writing.phrasebook import Phrases
from proctool.draft.writing.way import Sight, Way
from proctool.draft.writing.written import Deed, Entry, Fallback, Group, Task
from proctool.model.document import Mapping, Scalar
from proctool.model.quantity import Quantity, compare, parse
from proctool.model.unit import Energy
from proctool.model.words import Control, Lock
from proctool.network.gauges import TESTER, sees_with
from proctool.network.origins import discharged_only, electricity_of
from proctool.network.reach import Mask, Network

MAKE_SAFE = "make-safe"
"""The id of the group."""


def make_safe(network: Network, way: Way, phrases: Phrases) -> Group:
    """Tell, stop, isolate and lock, let out, verify."""
    steps: list[Entry] = [
        *phrases.stops,
        *stopped(network, way, phrases),
        *shut_off(network, way, phrases, explained=True),
        *_discharges(network, way, fluid=False),
        *_vents(network, way, phrases),
        *_discharges(network, way, fluid=True),
        *_uncovered(network, way, phrases),
        *(_tried(network, name, phrases) for name in way.stops),
        *_verified(network, way, phrases),
    ]
    return Group(MAKE_SAFE, "Make safe", tuple(steps))


def stopped(network: Network, way: Way, phrases: Phrases) -> Iterator[Task]:
    """Machines are stopped before the energy is cut that they run on, or the fluid that they move."""
    for name in (*way.stops, *way.idle):
        text = phrases.text("stop", network.unit.parts[name])
        yield Task((Deed("stop", name),), text, why=(why.of_stop(network, way, name),))


def shut_off(network: Network, way: Way, phrases: Phrases, *, explained: bool = False) -> Iterator[Task]:
    """Every isolator off and, where the unit is worked on under lockout, locked."""
    for name in way.isolators:
        locked = lockable(network, name)
        deeds = (Deed("isolate", name), Deed("lock", name)) if locked else (Deed("isolate", name),)
        using = phrases.locks if locked else ()
        said = why.of_isolator(network, way, name) if explained else ()
        yield Task(deeds, using=using, why=said)


def lockable(network: Network, name: str) -> bool:
    """Whether an isolator is locked: not one under the exclusive control of who does the work."""
    part = network.unit.parts[name]
    exclusive = part.exclusive_control or network.unit.control is Control.EXCLUSIVE
    return part.lock is not Lock.NONE and not exclusive


def _vents(network: Network, way: Way, phrases: Phrases) -> Iterator[Task]:
    for name in way.vents:
        text = phrases.text("vent", network.unit.parts[name])
        yield Task((Deed("vent", name),), text, why=why.of_vent(network, way, name))


def _discharges(network: Network, way: Way, *, fluid: bool) -> Iterator[Task]:
    """What leaves by time only, the parts that say how long first; one wait does for all it can reach."""
    done: dict[str, Mask] = {}
    waits = {
        (h, e.id): _least(network, h, e.id) for h in way.discharges for e in _kept(network, h, fluid=fluid)
    }
    for holder, energy in sorted(waits, key=lambda pair: (not _says(network, pair[0]), waits[pair] is None)):
        bit = 1 << network.place[holder]
        if done.get(energy, 0) & bit:
            continue
        for other in _kept(network, holder, fluid=fluid):
            done[other.id] = done.get(other.id, 0) | network.danger(other.id, bit, way.cut.off)
        task = _let_go(network, way, holder, network.unit.energies[energy], waits[holder, energy])
        again = bool(_kept(network, holder, fluid=not fluid))
        yield replace(task, id=f"discharge-{holder}-{energy}") if again else task


def _let_go(network: Network, way: Way, holder: str, energy: Energy, least: str | None) -> Task:
    opened = network.mask(way.vents) | network.normally_open
    by = sees_with(network, holder, energy.id, way.cut.off, opened)
    gauge = by if by is not None and network.gauges >> network.place[by] & 1 else None
    deeds = (Deed("discharge", holder),)
    label = network.unit.parts[holder].label
    said = f"{energy.name[:1].upper()}{energy.name[1:]} leaves the {label} only with time"
    if least is not None and gauge is not None:
        return Task(deeds, wait=least, until=(gauge, energy.safe), why=(f"{said}: {least} at least.",))
    if gauge is not None:
        text = f"Discharge the <{holder}> until the <{gauge}> reads {energy.safe}."
        return Task(deeds, text, why=(f"{said} or by an act; the unit file says not which. Write it here.",))
    return Task(deeds, f"Discharge the <{holder}>.", why=(f"{said}, and no gauge sees it. Write here how.",))


def _kept(network: Network, holder: str, *, fluid: bool) -> list[Energy]:
    energies = (network.unit.energies[name] for name in discharged_only(network, holder))
    return [energy for energy in energies if energy.fluid is fluid]


def _least(network: Network, holder: str, energy: str) -> str | None:
    """The longest least wait of a holder and what no isolator divides from it, as written."""
    joined = network.danger(energy, 1 << network.place[holder], network.isolators)
    said = [network.unit.parts[name].properties.get("leaves_in") for name in network.names(joined)]
    waits = [wait.text for leaves in said if isinstance(leaves, Mapping)
             and isinstance(wait := leaves.get(energy), Scalar)]  # fmt: skip
    return max(waits, key=cmp_to_key(_longer), default=None)


def _says(network: Network, holder: str) -> bool:
    """Whether a part says itself how long something takes to leave it."""
    return "leaves_in" in network.unit.parts[holder].properties


def _longer(one: str, other: str) -> int:
    first, second = parse(one), parse(other)
    if isinstance(first, Quantity) and isinstance(second, Quantity):
        return compare(first, second) or 0
    return 0


def _uncovered(network: Network, way: Way, phrases: Phrases) -> Iterator[Task]:
    for name in covered(network, way):
        text = phrases.text("uncover", network.unit.parts[name])
        yield Task((Deed("uncover", name),), text, why=("A tester reaches it only without its cover.",))


def covered(network: Network, way: Way) -> tuple[str, ...]:
    """Parts whose cover comes off for a portable tester."""
    parts = network.unit.parts
    found = (s.part for s in way.sights if parts[s.by].at == TESTER and parts[s.part].covered)
    return tuple(dict.fromkeys(found))


def _tried(network: Network, name: str, phrases: Phrases) -> Task:
    """A machine is tried with its control, which goes back to off: (d)(6), and it does not start."""
    unit = network.unit
    fallback = Fallback(end_here=phrases.not_dead)
    said = phrases.of("try_start", name, unit)
    if said is not None:
        return said
    text = f"With its control turned on and back to off, the <{name}> does not start."
    return Task((Deed("try_start", name),), text, check=True, otherwise=fallback)


def _verified(network: Network, way: Way, phrases: Phrases) -> Iterator[Task]:
    """A portable tester is tried on a known source before its readings and after them."""
    parts = network.unit.parts
    testers = {s.by: [o for o in way.sights if o.by == s.by] for s in way.sights if parts[s.by].at == TESTER
               and s.energy in electricity_of(network, s.part)}  # fmt: skip
    for tester, sights in testers.items():
        yield _trial(
            tester, "before", f"The <{tester}> shows the voltage of a source that is known to be live."
        )
        yield from (_sight(network, way, sight, phrases) for sight in sights)
        yield _trial(tester, "after", f"The <{tester}> still shows the voltage of that source.")
    for sight in way.sights:
        if sight.by not in testers:
            yield _sight(network, way, sight, phrases)


def _trial(tester: str, when: str, text: str) -> Task:
    fallback = Fallback(end_here="Leave the locks on. Send the tester for repair.")
    return Task((Deed("prove_tester", tester),), text, check=True, id=f"{tester}-{when}", otherwise=fallback)


def _sight(network: Network, way: Way, sight: Sight, phrases: Phrases) -> Task:
    part, by = network.unit.parts[sight.part], network.unit.parts[sight.by]
    safe = network.unit.energies[sight.energy].safe
    portable = f"The <{by.id}> reads {safe} at the <{part.id}>."
    text = portable if by.at == TESTER else phrases.text("verify_zero", by)
    electric = sight.energy in electricity_of(network, sight.part)
    twice = [s.energy for s in way.sights if s.part == sight.part]
    return Task(
        (Deed("verify_zero", sight.part, sight.by),),
        text,
        check=True,
        id=f"zero-{part.id}-{sight.energy}" if len(twice) > 1 else "",
        otherwise=Fallback(end_here=phrases.not_dead if electric else phrases.not_zero),
        why=(why.of_sight(network, sight),),
    )
