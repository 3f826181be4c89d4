"""Acts that could mend what is owed: leak checks, a slow refill, devices as they were, what a step needs.

One small function for each kind of rule: (break) -> acts to try, the likeliest first.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Need, every_step
from proctool.model.story import Fix
from proctool.model.words import Position, Role
from proctool.network.reach import bits
from proctool.network.ways import way
from proctool.prove.breaks import Break, fixed
from proctool.prove.mend_energy import Attempts
from proctool.prove.phrases import listed, named
from proctool.prove.remedies import Fixes, NotToBeHadError, Relief, feed, pressurise, prove_zero, to_zero
from proctool.prove.state import State
from proctool.prove.words import holds, position_of


def driven(broken: Break) -> Attempts:
    """Turn on what lies between a part that runs and the source that drives it."""
    place = broken.setup.network.place[broken.part]
    yield feed(broken.setup, broken.before, place, broken.carriers(), full=False)


def filled(broken: Break) -> Attempts:
    """Turn on what lies between a part and the source of a fluid of it."""
    setup, place = broken.setup, broken.setup.network.place[broken.part]
    fluids = [c for c in setup.fluids if c.holders >> place & 1 and c.sources]
    if not fluids:
        raise NotToBeHadError(f"No fluid of {named(setup.network, broken.part)} has a source.")
    for carrier in fluids:
        yield feed(setup, broken.before, place, [carrier], full=False)


def _throttles(broken: Break) -> Iterator[str]:
    """Isolators that could let the energy in slowly: what the act moves, then the nearest on its way."""
    setup = broken.setup
    net, place = setup.network, setup.network.place[broken.part]
    first = [net.place[broken.act.part]] if broken.act is not None and broken.act.part else []
    for carrier in broken.carriers():
        path = way(net, carrier.id, carrier.sources, place, broken.after.off) or ()
        yield from (net.ids[i] for i in dict.fromkeys([*first, *reversed(path)]) if net.parts[i].throttles)


def throttled(broken: Break) -> Attempts:
    """Open an isolator a little first."""
    names = tuple(_throttles(broken))
    for name in names:
        yield [Fix("throttle", name)]
    if not names:
        way_to = named(broken.setup.network, broken.part)
        raise NotToBeHadError(f"No isolator on this way to {way_to} can be opened a little.")


def bled(broken: Break) -> Attempts:
    """Let the air out, at the flow there is or behind an isolator that is open a little."""
    yield [Fix("bleed", broken.part)]
    for name in _throttles(broken):
        yield [Fix("throttle", name), Fix("bleed", broken.part)]


def pressurised(broken: Break) -> Attempts:
    """Bring the part to what a leak check asks for."""
    yield pressurise(broken.setup, broken.before, broken.setup.network.place[broken.part])


def leak_checked(broken: Break) -> Attempts:
    """Leak-check what owes it: the part, or at a step those it stands near."""
    setup, state = broken.setup, broken.before
    place = setup.network.place[broken.part]
    owing = [place] if broken.step is None else [i for i in bits(state.owed) if setup.near[i] >> place & 1]
    fixes: Fixes = []
    for i in owing:
        fixes += pressurise(setup, fixed(setup, state, fixes), i)
        fixes.append(Fix("leak_check", setup.network.ids[i]))
    yield fixes


def restored(broken: Break) -> Attempts:
    """A device that is not as `leaves` says, or not as in normal service."""
    setup, name = broken.setup, broken.part
    part, words = setup.network.unit.parts[name], setup.plan.leaves.get(name, ())
    fixes = [fix for word in words for fix in _word(broken, name, word)]
    unlock = [Fix("unlock", name)] if broken.before.locked >> setup.network.place[name] & 1 else []
    if part.role is Role.ISOLATOR and not any(position_of(part, word) for word in words):
        fixes = [*unlock, Fix("restore", name), *fixes]
    elif part.role is Role.VENT and not {"open", "shut", "closed"} & set(words):
        fixes.append(Fix("vent" if part.normally_open else "shut", name))
    elif part.runs and not {"running", "stopped"} & set(words):
        fixes.append(Fix("start" if part.normally_running else "stop", name))
    yield fixes


def needed(broken: Break) -> Attempts:
    """Make what a step needs true."""
    setup, state, step = broken.setup, broken.before, broken.step
    needs: tuple[Need, ...] = step.needs if step is not None else ()
    fixes: Fixes = []
    for need in needs:
        then = fixed(setup, state, fixes)
        if need.name == broken.part and not holds(setup, then, need.name, need.word):
            if need.name in setup.conditions:
                raise NotToBeHadError(_made_by(broken, need))
            fixes += _word(broken, need.name, need.word, then)
    yield fixes


def _made_by(broken: Break, need: Need) -> str:
    """Which steps make a condition so."""
    said = f"`{need.name}` must be `{need.word}`"
    steps = [f"`{s.id}`" for s in every_step(broken.setup.plan.frame) if (need.name, need.word) in s.makes]
    if not steps:
        return f"Before this step {said}, but no step makes it so."
    return f"Before this step {said}, as {listed(steps[:3])} makes it."


_STATED = {
    "locked": "lock",
    "uncovered": "uncover",
    "covered": "cover",
    "running": "start",
    "stopped": "stop",
    "shut": "close",
    "closed": "close",
}
_POSITIONS = {Position.OFF: "isolate", Position.PART: "throttle", Position.ON: "connect"}


def _word(broken: Break, name: str, word: str, state: State | None = None) -> Fixes:
    """The acts that make a word true of a part."""
    setup = broken.setup
    state = broken.before if state is None else state
    place = setup.network.place[name]
    part, carriers = setup.network.parts[place], setup.of_part[place]
    if part.role is Role.ISOLATOR and (position := position_of(part, word)) is not None:
        locked = state.locked >> place & 1 and position is not Position.OFF
        return [*([Fix("unlock", name)] if locked else []), Fix(_POSITIONS[position], name)]
    if part.role is Role.VENT and word in {"open", "shut", "closed"}:
        return [Fix("vent" if word == "open" else "shut", name)]
    every = {c.id: 1 << place for c in carriers}
    match word:
        case "live":
            return feed(setup, state, place, carriers[:1], full=False)
        case "relieved":
            return to_zero(setup, state, every, Relief.WIDE)
        case "proven":
            fixes = to_zero(setup, state, every, Relief.WIDE)
            for carrier in carriers:
                fixes += prove_zero(setup, fixed(setup, state, fixes), place, carrier)
            return fixes
        case "leak_checked":
            return [*pressurise(setup, state, place), Fix("leak_check", name)]
        case "open":
            return [Fix("open", name)]
    return [Fix(_STATED[word], name)] if word in _STATED else []
