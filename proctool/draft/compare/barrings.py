"""What keeps each energy away from the parts that a procedure opens, as the proof's own replay leaves it."""

from __future__ import annotations

from itertools import pairwise

from proctool.model.comparison import Barring
from proctool.model.plan import Act, Plan
from proctool.network.origins import targets_of
from proctool.network.reach import bits
from proctool.prove.charge import charge, proven
from proctool.prove.replay import Runs, straight_run
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State


def barrings(plan: Plan) -> tuple[Barring, ...]:
    """For each part that a main step opens or uncovers and each of its energies, right before that step.

    What is `near` an opened part stands there with its electricity. Each part and energy is told once, at its
    first opening in file order with every check passing.
    """
    runs = Runs(plan)
    setup = runs.setup
    steps = {step.id: step for step in plan.frame.steps}
    points = runs.along(straight_run(plan))
    verified: list[Act] = []
    found: dict[tuple[str, str], Barring] = {}
    for before, after in pairwise(points):
        step = steps[after.step.id] if after.step is not None else None
        for act in step.acts if step is not None else ():
            if act.verb == "verify_zero":
                verified.append(act)
            elif act.verb in {"open", "uncover"}:
                for energy, targets in targets_of(setup.network, [act.part]).items():
                    for place in bits(targets):
                        key = setup.network.ids[place], energy
                        if key not in found:
                            carrier = setup.by_energy[energy]
                            found[key] = _barring(setup, before.state, place, carrier, verified)
    return tuple(found.values())


def _barring(setup: Setup, state: State, place: int, carrier: Carrier, verified: list[Act]) -> Barring:
    net, bit = setup.network, 1 << place
    ends = net.danger(carrier.id, bit, state.off) & state.off & net.isolators & ~bit
    return Barring(
        part=net.ids[place],
        energy=carrier.id,
        charge=charge(setup, state, place, carrier),
        isolators=net.names(ends),
        locked=net.names(ends & state.locked),
        vents=net.names(net.sure(carrier.id, bit, state.off) & state.vented) if carrier.energy.fluid else (),
        verified_by=_by(setup, place, carrier, verified) if proven(setup, state, place, carrier) else (),
    )


def _by(setup: Setup, place: int, carrier: Carrier, verified: list[Act]) -> tuple[str, ...]:
    """The gauges, or the open vents, at which zero of an energy was verified.

    For a part that is no holder they are those of the holders next to it: its zero is theirs.
    """
    net, parts = setup.network, setup.network.unit.parts
    at = 1 << place
    if not at & net.holders:
        at = net.neighbours[carrier.id][place] & net.holders
    holders = set(net.names(at))
    names = dict.fromkeys(act.by for act in verified if act.part in holders and act.by is not None)
    reads = {name: parts[name].energy for name in names}
    return tuple(name for name in names if reads[name] in {None, carrier.id})
