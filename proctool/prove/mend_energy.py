"""Acts that could mend what breaks rules of energy: isolate, relieve, verify, lock, close.

One small function for each kind of rule: (break) -> acts to try, the likeliest first.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.story import Fix
from proctool.model.verdict import Charge
from proctool.model.words import Form
from proctool.network.reach import bits
from proctool.prove.after import secured
from proctool.prove.breaks import Break, fixed
from proctool.prove.charge import charge
from proctool.prove.remedies import (
    Fixes,
    Relief,
    Targets,
    cut,
    deepen,
    look,
    prove_zero,
    relieve,
    secure,
    to_zero,
)
from proctool.prove.setup import Carrier
from proctool.prove.state import State
from proctool.prove.step import Acted

Attempts = Iterator[Fixes]
"""Acts that could mend, worked out as they are asked for."""


def _targets(broken: Break) -> Targets:
    return dict.fromkeys(broken.energies, 1 << broken.setup.network.place[broken.part])


def isolated(broken: Break) -> Attempts:
    """Keep every source away from the part."""
    yield cut(broken.setup, broken.before, _targets(broken))


def made_zero(broken: Break, targets: Targets | None = None) -> Attempts:
    """Isolate and relieve the part, or `targets` instead of it."""
    for how in Relief:
        yield to_zero(broken.setup, broken.before, targets or _targets(broken), how)


def relieved(broken: Break) -> Attempts:
    """Let out what is trapped in the part."""
    for how in Relief:
        yield relieve(broken.setup, broken.before, _targets(broken), how)


def cooled(broken: Break) -> Attempts:
    """All heat of what a vent would let out."""
    setup, state = broken.setup, broken.before
    vent = 1 << setup.network.place[broken.part]
    out = vent
    for carrier in setup.of_part[setup.network.place[broken.part]]:
        if carrier.energy.fluid:
            out |= setup.network.danger(carrier.id, vent, state.off)
    hot = {
        c.id: out & (state.live[c.index] | state.trapped[c.index]) | vent
        for c in broken.carriers()
        if c.energy.form is Form.HEAT
    }
    yield from made_zero(broken, hot)


def proven(broken: Break) -> Attempts:
    """Verify zero of the part."""
    setup, state = broken.setup, broken.before
    fixes: Fixes = []
    for carrier in broken.carriers():
        fixes += prove_zero(setup, fixed(setup, state, fixes), setup.network.place[broken.part], carrier)
    yield list(dict.fromkeys(fixes))


def looked_at(broken: Break) -> Attempts:
    """By something that sees the part; it takes the place of the act, and is not done before it."""
    setup, holder = broken.setup, broken.setup.network.place[broken.part]
    seen = [c for c in broken.carriers() if c.holders >> holder & 1]
    held = [c for c in setup.of_part[holder] if not broken.before.proven[c.index] >> holder & 1]
    for carrier in seen or held:
        yield look(setup, broken.before, holder, carrier, lambda done: not _reports(broken.rule, done))


def _reports(rule: str, done: Acted) -> bool:
    return any(report.rule == rule for report in done.reports)


def _bare(broken: Break, state: State) -> list[tuple[int, Carrier]]:
    """Parts that stand open or uncovered, with the energies in question that are not live in them."""
    setup = broken.setup
    return [
        (place, carrier)
        for place in bits(state.exposed)
        for carrier in setup.of_part[place]
        if carrier.id in broken.energies and charge(setup, state, place, carrier) is not Charge.LIVE
    ]


def locked(broken: Break) -> Attempts:
    """Lock what keeps the energies away from the part."""
    setup, after, place = broken.setup, broken.after, broken.setup.network.place[broken.part]
    locks = secure(setup, after, [pair for pair in _bare(broken, after) if pair[0] == place])
    # What is only now turned off cannot have been locked before: then the part should not stand open at all.
    if all(broken.before.off >> setup.network.place[lock.part] & 1 for lock in locks):
        yield locks
    yield from closed(broken)


def deepened(broken: Break) -> Attempts:
    """Isolate the part as deep as its energies ask."""
    place, after = broken.setup.network.place[broken.part], broken.after
    yield deepen(broken.setup, after, [pair for pair in _bare(broken, after) if pair[0] == place])
    yield from closed(broken)


def closed(broken: Break) -> Attempts:
    """Close what the energy comes to, or would without the lock."""
    setup, after = broken.setup, broken.after
    parts = [setup.network.place[broken.part]]
    if broken.act is not None and broken.act.verb == "unlock":
        parts = [place for place, c in _bare(broken, after) if not secured(setup, after, place, c)]
    fixes: dict[Fix, None] = {}
    for place in parts:
        name = setup.network.ids[place]
        fixes |= {Fix("close", name): None} if after.opened >> place & 1 else {}
        fixes |= {Fix("cover", name): None} if after.uncovered >> place & 1 else {}
    yield list(fixes)


def left_safe(broken: Break) -> Attempts:
    """Where people walk away: no energy in what stands open, and locks that keep it away."""
    setup, state = broken.setup, broken.before
    place = setup.network.place[broken.part]
    bit = 1 << place
    for how in Relief:
        if broken.rule == "energy/left-unlocked" or not state.exposed & bit:
            live = [c.id for c in broken.carriers() if charge(setup, state, place, c) is Charge.LIVE]
            fixes = cut(setup, state, dict.fromkeys(live, bit)) if live else []
        else:
            fixes = to_zero(setup, state, _targets(broken), how)
        then = fixed(setup, state, fixes)
        if then.exposed & bit:
            fixes += secure(setup, then, [(place, c) for c in broken.carriers()], excuses=False)
        yield fixes
