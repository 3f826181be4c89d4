"""Stories in words: what changed, by which way an energy came, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from proctool.model.document import Mapping, Scalar
from proctool.model.story import Change, Fix
from proctool.model.words import Device, Position
from proctool.network.reach import Mask, Network

_TURN_ON: dict[Device | None, str] = {
    Device.VALVE: "open {} fully",
    Device.PLUG: "plug in {}",
    Device.BREAKER: "switch on {}",
    Device.DISCONNECTOR: "switch on {}",
    Device.BLIND: "take out {}",
}
_PHRASES: dict[str, str] = {
    "isolate": "isolate {}",
    "throttle": "open {} a little",
    "restore": "put {} back to normal",
    "lock": "lock {}",
    "unlock": "take the lock off {}",
    "vent": "open {}",
    "shut": "shut {}",
    "discharge": "discharge {}",
    "flush": "flush {}",
    "close": "close {}",
    "open": "open {}",
    "cover": "put the cover on {}",
    "uncover": "take the cover off {}",
    "leak_check": "leak-check {}",
    "bleed": "let the air out of {}",
    "start": "start {}",
    "stop": "stop {}",
}


def named(network: Network, part: str) -> str:
    """A part with its article, its name and its tag."""
    return f"the {network.unit.parts[part].label}"


def labels(network: Network, mask: Mask) -> str:
    """Several parts, in file order."""
    return listed([named(network, name) for name in network.names(mask)])


def listed(words: Sequence[str]) -> str:
    """Words joined as a person joins them: `a, b and c`."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def order(network: Network, fixes: Iterable[Fix]) -> str:
    """Acts as one sentence without its end: those alike together, in the order they are done."""
    said: list[tuple[str, str]] = []
    for phrase, alike in groupby(fixes, key=lambda fix: _phrase(network, fix)):
        parts = listed([_object(network, fix) for fix in alike])
        before, before_parts = said[-1] if said else ("", "")
        if parts == before_parts and before.endswith(" {}"):
            said[-1] = (f"{before[:-3]} and {phrase}", parts)
        else:
            said.append((phrase, parts))
    text = ", then ".join(phrase.format(parts) for phrase, parts in said)
    return text[:1].upper() + text[1:]


def _phrase(network: Network, fix: Fix) -> str:
    part = network.unit.parts[fix.part]
    if fix.verb == "connect" or (fix.verb == "restore" and part.normal is Position.ON):
        return _TURN_ON.get(part.device, "turn on {}")
    if fix.verb == "verify_zero" and fix.by is not None:
        energy = network.unit.parts[fix.by].energy
        of = f" of {network.unit.energies[energy].name}" if energy is not None else ""
        return f"verify zero{of} at {{}} by {named(network, fix.by)}"
    return _PHRASES[fix.verb]


def _object(network: Network, fix: Fix) -> str:
    """The part of a fix; with the least wait, if it is discharged by waiting."""
    waits = network.unit.parts[fix.part].properties.get("leaves_in")
    if fix.verb != "discharge" or not isinstance(waits, Mapping):
        return named(network, fix.part)
    least = [
        f"{network.unit.energies[energy.text].name}: at least {wait.text}"
        for energy, wait in waits
        if isinstance(wait, Scalar) and energy.text in network.unit.energies
    ]
    return f"{named(network, fix.part)} ({listed(least)})" if least else named(network, fix.part)


def route(network: Network, energy: str, parts: Sequence[str]) -> str:
    """`water: water main → bypass valve V7 → carbon housing`."""
    found = network.unit.parts
    name = network.unit.energies[energy].name
    if len(parts) == 1:
        return f"{name}: trapped in {named(network, parts[0])}"
    return f"{name}: {' → '.join(found[part].label for part in parts)}"


def changed(network: Network, changes: Iterable[Change]) -> tuple[str, ...]:
    """Changes as sentences without their end: how devices stand, then charges, then proofs of zero."""
    stands: dict[str, list[str]] = {}
    others: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        label = network.unit.parts[change.part].label
        if change.energy is None:
            stands.setdefault(label, []).append(change.now)
        else:
            others.setdefault((change.energy, change.was, change.now), []).append(label)
    told = [f"{label} {', '.join(words)}" for label, words in stands.items()]
    charges: list[str] = []
    proofs: list[str] = []
    for (energy, was, now), parts in others.items():
        name = network.unit.energies[energy].name
        said = f"{', '.join(parts)} ({name}): {f'{was} → ' if was else ''}{now}"
        (charges if was else proofs).append(said)
    return (*(["; ".join(told)] if told else []), *charges, *proofs)
