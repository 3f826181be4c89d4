"""Seeded flat problems of 12 to 20 steps with much freedom: too many orders to walk one by one.

``case(family, seed)`` depends on its arguments alone.  Units and damage are those of the oracle's cases;
the procedures are written here.  The families:

- ``loose``: a well-meant job on a random unit; a step waits for one or two of the steps just above it.
- ``branches on one line``: two to four housings of one vented line, worked on turn about between one
  make-safe and one return to service.
- ``own valves``: each branch has its own valve, drain and gauge on a live header.
- ``unvented``: branches on one line with one vent for all, or none: what one opens relieves the others.
- ``almost free``: as loose, but most steps wait for nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

from tests.oracle.damage import damage_procedure, is_sound
from tests.oracle.make_procedure import Writer, every_entry
from tests.oracle.make_unit import UnitMaker, make_unit

from .encode import NotFlatError, problem

FEWEST, MOST = 12, 20

Mapping = dict[str, Any]
Case = tuple[Mapping, Mapping]


def case(family: str, seed: int) -> Case:
    """The unit and the procedure of a seed, as YAML files would hold them."""
    rng = Random(f"{family} {seed}")  # noqa: S311 - cases, not secrets
    while True:
        unit, procedure = FAMILIES[family](rng)
        for _ in range(rng.choice([0, 0, 1, 1, 2, 3])):
            procedure = _damaged(rng, unit, procedure)
        if _fits(unit, procedure):
            return unit, procedure


def flattened(procedure: Mapping) -> Mapping:
    """The procedure without each ``otherwise`` that has steps of its own or leads back."""
    flat = deepcopy(procedure)
    for entry in every_entry(flat["steps"]):
        otherwise = entry.get("otherwise", {})
        if otherwise.get("steps") or "back_to" in otherwise:
            del entry["otherwise"]
    return flat


def _fits(unit: Mapping, procedure: Mapping) -> bool:
    """Whether it can be read, is flat and has the size asked for."""
    if not is_sound(unit, procedure):
        return False
    try:
        return FEWEST <= len(problem(unit, procedure).steps) <= MOST
    except NotFlatError:
        return False


def _damaged(rng: Random, unit: Mapping, procedure: Mapping) -> Mapping:
    for _ in range(20):
        worse = damage_procedure(rng, unit, procedure)
        if _fits(unit, worse):
            return worse
    return procedure


# -- steps -------------------------------------------------------------------------------------------


def _cut(rng: Random, acts: list[Mapping], count: int) -> list[list[Mapping]]:
    """The acts in so many runs, or in fewer if there are not enough."""
    places = sorted(rng.sample(range(1, len(acts)), min(count, len(acts)) - 1))
    return [acts[a:b] for a, b in zip([0, *places], [*places, len(acts)], strict=True)]


def _written(rng: Random, name: str, acts: list[Mapping]) -> Mapping:
    """A step of these acts; one that only verifies or looks may be a check, seldom any other."""
    step: Mapping = {"id": name}
    looks = all({"verify_zero", "inspect_seal"} & set(act) for act in acts)
    step["check" if rng.random() < (0.5 if looks else 0.02) else "do"] = "Do the work."
    if "check" in step and rng.random() < 0.2:
        step["otherwise"] = {"continue": "true"}
    step.update(acts[0] if len(acts) == 1 else {"acts": acts})
    return step


def _steps(rng: Random, prefix: str, acts: list[Mapping], count: int) -> list[Mapping]:
    return [_written(rng, f"{prefix}{n}", run) for n, run in enumerate(_cut(rng, acts, count), 1)]


def _procedure(steps: list[Mapping]) -> Mapping:
    return {"procedure": "p", "title": "Case procedure", "units": ["U"], "steps": steps}


# -- acts --------------------------------------------------------------------------------------------


def _off(isolators: list[str]) -> list[Mapping]:
    return [{verb: i} for i in isolators for verb in ("isolate", "lock")]


def _on(make: UnitMaker, valves: list[str], housings: list[str]) -> list[Mapping]:
    """Unlock, fill slowly where a valve can, let the air out, open fully, look for leaks."""
    slow = [v for v in valves if make.parts[v].get("throttles") == "true"]
    airy = [h for h in housings if make.parts[h].get("traps_air") == "true"]
    return [
        *({"unlock": v} for v in valves),
        *({"throttle": v} for v in slow),
        *({"restore": v} for v in valves if v not in slow),
        *({"bleed": h} for h in airy),
        *({"restore": v} for v in slow),
        *({"leak_check": h} for h in housings),
    ]


def _work(make: UnitMaker, housing: str, shows: str) -> list[Mapping]:
    """Verify, open, look, close."""
    said = make.parts[housing]
    acts: list[Mapping] = [{"verify_zero": {"part": housing, "by": shows}}, {"open": housing}]
    if "seal" in said:
        acts.append({make.rng.choice(["inspect_seal", "new_seal"]): housing})
    acts.append({"close": housing})
    if "tighten" in said:
        acts.append({"tighten": housing})
    return acts


# -- units ---------------------------------------------------------------------------------------------


def _fluid(make: UnitMaker) -> str:
    depth = make.rng.choice(["single"] * 6 + ["double", "double", "double_block_and_bleed"])
    form = make.rng.choice(["liquid_pressure", "liquid_pressure", "gas_pressure", "steam"])
    return make.energy("fluid", form, **({} if depth == "single" else {"isolation": depth}))


def _valves(make: UnitMaker, throttles: float) -> list[str]:
    """One valve, or two where the depth of isolation asks for them, the second of which throttles."""
    deep = "isolation" in make.energies["fluid"] and make.chance(0.9)
    return (
        [make.isolator("valve"), make.isolator("valve", throttles)]
        if deep
        else [make.isolator("valve", throttles)]
    )


def _motor(make: UnitMaker, near: list[str]) -> tuple[str, str]:
    """A motor near to these housings, and its plug."""
    make.energy("mains", "electricity")
    motor, plug = make.part("motor", "component", runs="mains"), make.isolator("plug")
    socket = make.part("socket", "source")
    make.line("mains", [socket, plug, motor])
    for housing in near:
        make.parts[housing]["near"] = [motor]
    return plug, motor


# -- the families --------------------------------------------------------------------------------------


def _turn_about(make: UnitMaker, own_vents: bool) -> Case:
    """Make safe, work on the housings of a line in branches free of each other, return to service."""
    rng = make.rng
    fluid = _fluid(make)
    valves = _valves(make, rng.choice([0, 1]))
    housings = [make.holder() for _ in range(rng.choice([2, 2, 3, 4]))]
    path = [make.part("main", "source"), *valves]
    strainers = 0.5 if own_vents or make.chance(0.3) else 0.0
    for housing in housings:
        path += [make.part("insert", "restriction"), housing] if make.chance(strainers) else [housing]
    make.line(fluid, path)
    off, on = _off(valves), _on(make, valves, housings)
    if make.chance(0.5):
        plug, motor = _motor(make, housings)
        off += [{"stop": motor}, *_off([plug])]
        on += [{"unlock": plug}, {"restore": plug}, {"start": motor}]
    if not own_vents and make.chance(0.85):
        common = make.vent(fluid, housings[0])
        off, on = [*off, {"vent": common}], [{"shut": common}, *on]
    branches: list[Mapping] = []
    size = rng.randint(3, max(3, 16 // len(housings)))
    for n, housing in enumerate(housings, 1):
        by = make.vent(fluid, housing) if own_vents else make.gauge(fluid, housing)
        acts = _work(make, housing, by)
        if own_vents:
            acts = [{"vent": by}, *acts, {"shut": by}]
        branches.append({"id": f"b{n}", "steps": _steps(rng, f"w{n}-", acts, size)})
    steps = [
        *_steps(rng, "off", off, rng.randint(1, 3)),
        {"id": "work", "any_order": branches},
        *_steps(rng, "on", on, rng.randint(1, 4)),
    ]
    return make.unit(), _procedure(steps)


def _branches_on_one_line(rng: Random) -> Case:
    return _turn_about(UnitMaker(rng), own_vents=True)


def _unvented(rng: Random) -> Case:
    return _turn_about(UnitMaker(rng), own_vents=False)


def _own_valves(rng: Random) -> Case:
    """Each branch isolates, works on and returns its own housing of a live header."""
    make = UnitMaker(rng)
    fluid, header, throttles = _fluid(make), make.part("header", "source"), rng.choice([0, 1])
    housings = [make.holder() for _ in range(rng.choice([2, 2, 2, 3]))]
    wet = housings if make.chance(0.1) else housings[:1]  # the motor is in one branch's hands, or in all
    plug, motor = _motor(make, wet) if make.chance(0.4) else ("", "")
    branches = []
    for n, housing in enumerate(housings, 1):
        valves = _valves(make, throttles)
        make.line(fluid, [header, *valves, housing])
        drain = make.vent(fluid, housing)
        by = drain if make.chance(0.5) else make.gauge(fluid, housing)
        acts = [
            *_off(valves),
            {"vent": drain},
            *_work(make, housing, by),
            {"shut": drain},
            *_on(make, valves, [housing]),
        ]
        if "near" in make.parts[housing]:
            acts = [
                {"stop": motor},
                *_off([plug]),
                *acts,
                {"unlock": plug},
                {"restore": plug},
                {"start": motor},
            ]
        size = rng.randint(6, 10) if len(housings) == 2 else 4
        branches.append({"id": f"b{n}", "steps": _steps(rng, f"w{n}-", acts, size)})
    return make.unit(), _procedure([{"id": "work", "any_order": branches}])


def _spread(rng: Random, free: float, near: int) -> Case:
    """The steps of a well-meant job on a random unit in one list.

    A step waits for nothing in the share ``free``, else for one or two of so many just above it.
    """
    make = make_unit(rng)
    holders = [p for p, d in make.parts.items() if d["role"] in ("component", "store")]
    writer = Writer(make, 0, rng.sample(holders, min(len(holders), rng.choice([1, 1, 2]))))
    procedure = flattened(writer.procedure())
    steps = list(_leaves(procedure["steps"]))
    for place, step in enumerate(steps):
        above = [s["id"] for s in steps[max(0, place - near) : place]]
        step["after"] = [] if rng.random() < free else rng.sample(above, min(len(above), rng.choice([1, 2])))
    procedure["steps"] = steps
    return make.unit(), procedure


def _leaves(entries: list[Mapping]) -> list[Mapping]:
    """The steps of a list, those of its groups in their place."""
    inner: list[list[Mapping] | None] = [e.get("steps", e.get("any_order")) for e in entries]
    return [leaf for e, held in zip(entries, inner, strict=True) for leaf in (_leaves(held) if held else [e])]


def _loose(rng: Random) -> Case:
    return _spread(rng, rng.choice([0.0, 0.05, 0.1, 0.15]), rng.choice([2, 2, 3, 4]))


def _almost_free(rng: Random) -> Case:
    return _spread(rng, rng.choice([0.4, 0.5, 0.6, 0.7]), 4)


FAMILIES: dict[str, Callable[[Random], Case]] = {
    "loose": _loose,
    "branches on one line": _branches_on_one_line,
    "own valves": _own_valves,
    "unvented": _unvented,
    "almost free": _almost_free,
}
