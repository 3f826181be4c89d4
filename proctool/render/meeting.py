"""What a person meets at a step: the energies of what is opened, their warnings, what must hold before."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import Act, Need, Plan, Step, every_step
from proctool.model.unit import Danger, Part
from proctool.model.words import WETTING, Form
from proctool.network.reach import Network, bits
from proctool.render import words
from proctool.render.devices import Devices
from proctool.render.item import Hazard
from proctool.render.speech import say

EXPOSING = frozenset({"open", "uncover"})
"""Acts that bring a person to what a part holds."""


def exposed(plan: Plan) -> tuple[str, ...]:
    """Parts that the plan opens or uncovers anywhere, in file order of the unit."""
    named = set(plan.opens) | {a.part for s in every_step(plan.frame) for a in s.acts if a.verb in EXPOSING}
    return tuple(name for name in plan.unit.parts if name in named)


def met(network: Network, names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """(part, energy) of the parts and of the electricity of what is near them, each once."""
    unit = network.unit
    found: dict[tuple[str, str], None] = {}
    for name in names:
        part = unit.parts[name]
        for energy in unit.energies.values():
            if network.on_line[energy.id] >> network.place[name] & 1:
                found[name, energy.id] = None
        for near in part.near:
            for energy in unit.energies.values():
                on_line = near in network.place and network.on_line[energy.id] >> network.place[near] & 1
                if energy.form is Form.ELECTRICITY and on_line:
                    found[near, energy.id] = None
    return tuple(found)


def touched(plan: Plan, network: Network) -> frozenset[str]:
    """The energies that the work meets.

    They are those of every part that a step acts on or that the procedure opens, those of the parts next to
    it in a line (behind a valve, before a vent), and the electricity of what is near any of these. What no
    step comes near is live or charged all the same, but is no hazard of this job.
    """
    acted = set(plan.opens) | {act.part for step in every_step(plan.frame) for act in step.acts}
    here = network.mask(acted & network.place.keys())
    around = here
    for place in bits(here):
        for energy in network.energies:
            around |= network.neighbours[energy][place]
    return frozenset(energy for _, energy in met(network, network.names(around)))


def least_waits(act: Act, network: Network) -> tuple[tuple[Part, str, str], ...]:
    """(part, energy, least wait as written) of what an act discharges: its part and what is joined to it."""
    found: list[tuple[Part, str, str]] = []
    for energy in network.energies_of(act.part) if act.verb == "discharge" else ():
        joined = network.danger(energy, network.mask([act.part]), network.isolators)
        for name in network.names(joined):
            waits = network.unit.parts[name].properties.get("leaves_in")
            least = waits.get(energy) if isinstance(waits, Mapping) else None
            if isinstance(least, Scalar):
                found.append((network.unit.parts[name], energy, least.text))
    return tuple(found)


def hazard(danger: Danger) -> Hazard:
    """A safety message as shown. NOTICE has no triangle: it is not about injury (ANSI Z535.4)."""
    kind = danger.word.lower()
    known = kind if kind in {"danger", "warning", "caution", "notice"} else "warning"
    return Hazard(
        say(danger.word.upper()), known, known != "notice", danger.hazard, danger.harm, danger.avoid
    )


def unique(hazards: Sequence[Hazard]) -> tuple[Hazard, ...]:
    """The messages without repeats, the gravest first."""
    rank = ["danger", "warning", "caution", "notice"]
    return tuple(sorted(dict.fromkeys(hazards), key=lambda h: rank.index(h.kind)))


def hazards(step: Step, network: Network) -> tuple[Hazard, ...]:
    """The messages right before a step: its own, and those of each energy that it brings a person to."""
    opened = [act for act in step.acts if act.verb in EXPOSING and act.part in network.place]
    energies = (network.unit.energies[energy] for act in opened for _, energy in _met_by(act, network))
    warnings = [energy.warning for energy in energies if energy.warning]
    return unique([hazard(danger) for danger in (*step.dangers, *warnings)])


def needs(step: Step, network: Network, devices: Devices) -> tuple[str, ...]:
    """The needs written, and those that opening a part brings."""
    derived: dict[str, None] = {}
    told: set[tuple[str, str]] = set()
    for act in step.acts:
        if act.verb in EXPOSING and act.part in network.place:
            for said, covers in _opening(act, network, devices):
                derived[said] = None
                told.update(covers)
    written = (need for need in _together(step.needs) if (need.name, need.word) not in told)
    new = [words.need(network.unit.parts.get(need.name), need.name, need.word) for need in written]
    return tuple(dict.fromkeys([*derived, *new]))


_Told = tuple[str, tuple[tuple[str, str], ...]]
"""A need in words, and which needs (name, word) a step has no need to write as well."""


def _opening(act: Act, network: Network, devices: Devices) -> list[_Told]:
    """What holds the energies from a part: its isolators, its way out, its zero."""
    parts = network.unit.parts
    isolators: list[str] = []
    vents: list[str] = []
    off = network.mask(devices.off)
    wet = any(
        energy.form in WETTING and network.on_line[energy.id] >> network.place[act.part] & 1
        for energy in network.unit.energies.values()
    )
    # A dry part may be opened beside live electricity: it is warned of, not asked for.
    pairs = [pair for pair in _met_by(act, network) if wet or pair[0] == act.part]
    for name, energy in pairs:
        here = network.mask([name])
        around = network.danger(energy, here, 0)
        isolators += (n for n in network.names(around & off))
        if network.unit.energies[energy].fluid and name == act.part:
            ways = network.sure(energy, here, off) & network.mask(devices.vented)
            vents += network.names(ways)
    found: list[_Told] = [
        (words.off_locked(part, locked=n in devices.locked), ((n, words.off_name(part)),))
        for n, part in parts.items()
        if n in isolators
    ]
    found += [(words.need(parts[n], n, "open"), ((n, "open"),)) for n in parts if n in vents]
    if act.verb == "open":
        covers = ((act.part, "proven"), (act.part, "relieved"))
        found.append((words.need(parts[act.part], act.part, "proven"), covers))
    for name, energy in pairs:
        if name != act.part:
            said = network.unit.energies[energy].name
            found.append((say("{part}: {energy} at zero", part=parts[name].label, energy=said), ()))
    return found


def _met_by(act: Act, network: Network) -> tuple[tuple[str, str], ...]:
    """(part, energy) that a person meets: a cover keeps electricity only from them."""
    energies = network.unit.energies
    pairs = met(network, [act.part])
    if act.verb == "open":
        return pairs
    return tuple(pair for pair in pairs if energies[pair[1]].form is Form.ELECTRICITY)


def _together(needs: Sequence[Need]) -> tuple[Need, ...]:
    """Needs without `relieved` where `proven` is needed too: it says more."""
    proven = {need.name for need in needs if need.word == "proven"}
    return tuple(need for need in needs if need.word != "relieved" or need.name not in proven)
