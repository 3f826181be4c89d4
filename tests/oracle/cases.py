"""Seeded cases: a small random unit, a procedure that means well, and often some damage.

``case(seed)`` depends on the seed alone and uses nothing of the package.  About half of the cases are
left undamaged; most of these are safe.  The number of walks of a case is kept small.
"""

from __future__ import annotations

from random import Random
from typing import Any

from .course import count_walks
from .damage import damage_procedure, is_sound
from .damage_unit import damage_unit
from .make_procedure import Writer
from .make_unit import UnitMaker, make_unit

MOST_WALKS = 3000

Case = tuple[dict[str, Any], dict[str, Any]]


def case(seed: int) -> Case:
    """The unit and the procedure of a seed, as YAML files would hold them."""
    rng = Random(seed)  # noqa: S311 - cases, not secrets
    while True:
        unit, procedure = _well_meant(rng, freedom=rng.choice([0, 1, 2, 2, 2]))
        if is_sound(unit, procedure) and count_walks(unit, procedure) <= MOST_WALKS:
            break
    for _ in range(rng.choice([0, 0, 0, 1, 1, 2, 3])):
        if rng.random() < 0.75:
            procedure = _kept(rng, unit, procedure)
        else:
            unit = damage_unit(rng, unit)
            if not is_sound(unit, procedure) or count_walks(unit, procedure) > MOST_WALKS:
                return case(seed + 1_000_003)
    return unit, procedure


def _well_meant(rng: Random, freedom: int) -> Case:
    make = make_unit(rng)
    writer = Writer(make, freedom, _targets(rng, make))
    procedure = writer.procedure()
    return make.unit(), procedure


def _targets(rng: Random, make: UnitMaker) -> list[str]:
    """One or two parts to open: mostly holders, at times a device."""
    holders = [
        p
        for p, d in make.parts.items()
        if d["role"] in ("component", "store") and p.startswith(("body", "tank", "motor"))
    ]
    devices = [p for p, d in make.parts.items() if d["role"] not in ("component", "store", "source")]
    beside = [p for p in holders if "near" in make.parts[p]]
    targets = [rng.choice(beside if beside and rng.random() < 0.5 else holders)]
    if rng.random() < 0.4:
        targets.append(rng.choice(holders))
    if rng.random() < 0.2 and devices:
        targets[-1] = rng.choice(devices)
    return list(dict.fromkeys(targets))


def _kept(rng: Random, unit: dict[str, Any], procedure: dict[str, Any]) -> dict[str, Any]:
    """The procedure damaged, but still one that can be read and walked."""
    for _ in range(20):
        worse = damage_procedure(rng, unit, procedure)
        if is_sound(unit, worse) and count_walks(unit, worse) <= MOST_WALKS:
            return worse
    return procedure
