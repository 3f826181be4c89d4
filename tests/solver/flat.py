"""Seeded flat problems of 12 to 20 steps with much freedom: too many orders to walk one by one.

``case(family, seed)`` depends on its arguments alone.  Units and damage are those of the oracle's cases;
the procedures are written here.  The families:

- ``loose``: a well-meant job on a random unit; a step waits for one or two of the steps just above it.
- ``branches on one line``: two to four housings of one vented line, worked on turn about between one make-safe
  and one return to service.
- ``own valves``: each branch has its own valve, drain and gauge on a live header.
- ``unvented``: branches on one line with a single vent, or none: what one branch opens relieves the others.
- ``almost free``: as loose, but most steps wait for nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from tests.oracle.damage import damage_procedure, is_sound
from tests.oracle.make_procedure import Writer
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
    """A step of these acts; one that verifies or looks may be a check."""
    step: Mapping = {"id": name}
    looks = any({"verify_zero", "leak_check", "inspect_seal"} & set(act) for act in acts)
    step["check" if looks and rng.random() < 0.4 else "do"] = "Do the work."
    if "check" in step and rng.random() < 0.4:
        step["otherwise"] = {"continue": "true"}
    step.update(acts[0] if len(acts) == 1 else {"acts": acts})
    return step


def _steps(rng: Random, prefix: str, acts: list[Mapping], count: int) -> list[Mapping]:
    return [_written(rng, f"{prefix}{n}", run) for n, run in enumerate(_cut(rng, acts, count), 1)]


def _procedure(steps: list[Mapping]) -> Mapping:
    return {"procedure": "p", "title": "Case procedure", "units": ["U"], "steps": steps}


# -- work on one housing -------------------------------------------------------------------------------


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


def _air_and_leaks(make: UnitMaker, housing: str) -> list[Mapping]:
    bleed = [{"bleed": housing}] if make.parts[housing].get("traps_air") == "true" else []
    return [*bleed, {"leak_check": housing}]


def _motor(make: UnitMaker, near: list[str]) -> tuple[str, str]:
    """A motor with its plug, near to some housings; gives the plug and the motor."""
    make.energy("mains", "electricity")
    motor, socket, plug = make.part("motor", "component"), make.part("socket", "source"), make.isolator("plug")
    make.parts[motor]["runs"] = "mains"
    make.line("mains", [socket, plug, motor])
    for housing in near:
        if make.chance(0.6):
            make.parts[housing]["near"] = [motor]
    return plug, motor


def _fluid(make: UnitMaker) -> str:
    depth = make.rng.choice([{}, {}, {}, {"isolation": "double"}, {"isolation": "double_block_and_bleed"}])
    return make.energy("fluid", make.rng.choice(["liquid_pressure", "liquid_pressure", "gas_pressure", "steam"]),
                       **depth)


# -- the families --------------------------------------------------------------------------------------


def _one_line(make: UnitMaker, vents: int) -> tuple[str, list[str], list[str]]:
    """A valve with two to four housings behind it, strainers between, so many of them with a vent."""
    fluid = _fluid(make)
    housings = [make.holder() for _ in range(make.rng.choice([2, 2, 3, 4]))]
    path = [make.part("main", "source"), make.isolator("valve", 0.6)]
    for housing in housings:
        path += [housing] if make.chance(0.5) else [make.part("insert", "restriction"), housing]
    make.line(fluid, path)
    shows = [make.vent(fluid, h) if n < vents else make.gauge(fluid, h) for n, h in enumerate(housings)]
    return path[1], housings, shows


def _turn_about(make: UnitMaker, vents: int) -> Case:
    """Make safe, work on the housings in branches free of each other, return to service."""
    rng = make.rng
    valve, housings, shows = _one_line(make, vents)
    off = [{"isolate": valve}, {"lock": valve}]
    on = [{"unlock": valve}]
    if make.chance(0.5):
        plug, motor = _motor(make, housings)
        off += [{"stop": motor}, {"isolate": plug}, {"lock": plug}]
        on += [{"unlock": plug}, {"restore": plug}, {"start": motor}]
    opened = [v for v in shows if make.parts[v]["role"] == "vent"]
    slow = [{"throttle": valve}] if make.parts[valve].get("throttles") == "true" else []
    after = [act for h in housings for act in _air_and_leaks(make, h)]
    on += [*slow, {"restore": valve}, *after] if make.chance(0.6) else [*slow, *after, {"restore": valve}]
    branches: list[Mapping] = []
    size = rng.randint(3, max(3, 16 // len(housings)))
    for n, (housing, by) in enumerate(zip(housings, shows, strict=True), 1):
        acts = _work(make, housing, by)
        if by in opened:
            acts = [{"vent": by}, *acts, {"shut": by}]
        branches.append({"id": f"b{n}", "steps": _steps(rng, f"w{n}-", acts, size)})
    steps = [*_steps(rng, "off", off, rng.randint(1, 3)), {"id": "work", "any_order": branches},
             *_steps(rng, "on", on, rng.randint(1, 4))]
    return make.unit(), _procedure(steps)


def _branches_on_one_line(rng: Random) -> Case:
    return _turn_about(UnitMaker(rng), vents=4)


def _unvented(rng: Random) -> Case:
    return _turn_about(UnitMaker(rng), vents=rng.choice([0, 1]))


def _own_valves(rng: Random) -> Case:
    """Each branch isolates, works on and returns its own housing of a live header."""
    make = UnitMaker(rng)
    fluid = _fluid(make)
    header = make.part("header", "source")
    housings = [make.holder() for _ in range(rng.choice([2, 2, 3]))]
    plug, motor = _motor(make, housings) if make.chance(0.4) else ("", "")
    branches = []
    for n, housing in enumerate(housings, 1):
        valve = make.isolator("valve", 0.5)
        make.line(fluid, [header, valve, housing])
        drain = make.vent(fluid, housing)
        by = drain if make.chance(0.5) else make.gauge(fluid, housing)
        slow = [{"throttle": valve}] if make.parts[valve].get("throttles") == "true" else []
        power = bool(plug) and make.parts[housing].get("near") == [motor]
        acts = [{"isolate": valve}, {"lock": valve},
                *([{"stop": motor}, {"isolate": plug}, {"lock": plug}] if power else []),
                {"vent": drain}, *_work(make, housing, by), {"shut": drain}, {"unlock": valve}, *slow,
                {"restore": valve}, *_air_and_leaks(make, housing),
                *([{"unlock": plug}, {"restore": plug}, {"start": motor}] if power else [])]
        branches.append({"id": f"b{n}", "steps": _steps(rng, f"w{n}-", acts, rng.randint(5, 20 // len(housings)))})
    return make.unit(), _procedure([{"id": "work", "any_order": branches}])


def _spread(rng: Random, free: float) -> Case:
    """The steps of a well-meant job on a random unit in one list: each waits for nothing, or for some above it."""
    make = make_unit(rng)
    holders = [p for p, d in make.parts.items() if d["role"] in ("component", "store")]
    writer = Writer(make, 0, rng.sample(holders, min(len(holders), rng.choice([1, 1, 2]))))
    procedure = writer.procedure()
    steps = list(_leaves(procedure["steps"]))
    for place, step in enumerate(steps):
        otherwise = step.get("otherwise", {})
        if otherwise.get("steps") or "back_to" in otherwise:
            del step["otherwise"]
        above = [s["id"] for s in steps[max(0, place - 4):place]]
        step["after"] = [] if rng.random() < free else rng.sample(above, min(len(above), rng.choice([1, 2])))
    procedure["steps"] = steps
    return make.unit(), procedure


def _leaves(entries: list[Mapping]) -> list[Mapping]:
    """The steps of a list, those of its groups in their place."""
    return [leaf for e in entries for leaf in _leaves(e.get("steps", e.get("any_order", []))) or [e]]


def _loose(rng: Random) -> Case:
    return _spread(rng, 0.1)


def _almost_free(rng: Random) -> Case:
    return _spread(rng, 0.7)


FAMILIES: dict[str, Callable[[Random], Case]] = {
    "loose": _loose,
    "branches on one line": _branches_on_one_line,
    "own valves": _own_valves,
    "unvented": _unvented,
    "almost free": _almost_free,
}
