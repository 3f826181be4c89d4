"""Instance families of the proof: units and plans built as the model has them, from name, size and seed.

- `series`: one step after the other, round after round of isolating, opening, looking, closing, giving back.
- `vented`: branches of ten acting steps, each on its own housing of one line that is cut off and vented.
- `valves`: the same, each with its own valve and drain on a header that stays live.
- `unvented`: as `vented`, but nothing lets the pressure out before: every housing that is opened relieves the
  others. Branches truly interfere.
- `loose`: branches of random acts on random housings of one vented line.
- `almost_free`: twenty steps with effects and hardly any order among them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from proctool.model.plan import Act, Frame, Plan, Step, StepKind
from proctool.model.span import Span
from proctool.model.unit import Energy, Line, Part, Unit
from proctool.model.words import Device, Form, Role

HERE = Span("benchmark", 1, 1, 1, 2)
Acts = tuple[tuple[str, ...], ...]
"""Acts as (verb, part) or (verb, part, by)."""

MOST = 8
"""Branches at most."""


def _part(name: str, role: Role, **more: object) -> Part:
    return Part(name, role, HERE, name, {}, **more)  # type: ignore[arg-type]


def unit(branches: int, *, valves: bool) -> Unit:
    """A main, an inlet valve, a header with a vent, and housings on it, each with a gauge."""
    parts = [
        _part("main", Role.SOURCE),
        _part("inlet", Role.ISOLATOR, device=Device.VALVE, throttles=True),
        _part("header", Role.COMPONENT),
        _part("vent", Role.VENT),
    ]
    paths = {"feed": ["main", "inlet", "header"], "vent": ["header", "vent"]}
    for k in range(branches):
        housing = f"housing{k}"
        parts.append(_part(housing, Role.COMPONENT, seal="O-ring", tighten="22 N·m"))
        parts.append(_part(f"gauge{k}", Role.GAUGE, at=housing, energy="water"))
        path = ["header", housing]
        if valves:
            parts += [_part(f"valve{k}", Role.ISOLATOR, device=Device.VALVE), _part(f"drain{k}", Role.VENT)]
            path.insert(1, f"valve{k}")
            paths[f"drain{k}"] = [housing, f"drain{k}"]
        paths[f"branch{k}"] = path
    water = Energy("water", Form.LIQUID_PRESSURE, HERE, "water")
    lines = {name: Line(name, ("water",), tuple(path), HERE) for name, path in paths.items()}
    by_name = {part.id: part for part in parts}
    return Unit("U", "Bench", "benchmark", HERE, {"water": water}, by_name, lines, {})


class _Writer:
    """Steps with what comes before each."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self.before: list[int] = []

    def add(self, acts: Acts, after: int) -> int:
        """One step after others; gives it, as a set."""
        done = after
        for place, earlier in enumerate(self.before):
            if after >> place & 1:
                done |= earlier
        said = tuple(Act(verb, part, HERE, *more) for verb, part, *more in acts)
        self.steps.append(Step(f"s{len(self.steps)}", StepKind.DO, "Work.", HERE, said))
        self.before.append(done)
        return 1 << len(self.steps) - 1

    def chain(self, rows: Sequence[Acts], after: int) -> int:
        """Steps one after the other; gives all that is done then."""
        for acts in rows:
            after |= self.add(acts, after)
        return after

    def plan(self, unit: Unit) -> Plan:
        """The whole."""
        return Plan("p", "P", unit, Frame(tuple(self.steps), tuple(self.before)), HERE, {}, {}, {})


CUT: tuple[Acts, ...] = ((("isolate", "inlet"), ("lock", "inlet")), (("vent", "vent"),))
FILL: tuple[Acts, ...] = (
    (("shut", "vent"),),
    (("unlock", "inlet"),),
    (("throttle", "inlet"),),
    (("connect", "inlet"),),
)


def _work(k: int) -> tuple[Acts, ...]:
    """Ten acting steps on one housing."""
    h = f"housing{k}"
    return (
        (("verify_zero", h, f"gauge{k}"),),
        (("open", h),),
        (("remove", h),),
        (("clean", h),),
        (("inspect_seal", h),),
        (("new_seal", h),),
        (("fit", h),),
        (("lubricate", h),),
        (("close", h),),
        (("tighten", h),),
    )


def _own(k: int) -> tuple[Acts, ...]:
    """Ten acting steps on one housing with its own valve and drain."""
    h, valve, drain = f"housing{k}", f"valve{k}", f"drain{k}"
    return (
        (("isolate", valve), ("lock", valve)),
        (("vent", drain),),
        (("verify_zero", h, f"gauge{k}"),),
        (("open", h),),
        (("new_seal", h),),
        (("close", h),),
        (("tighten", h),),
        (("shut", drain),),
        (("unlock", valve),),
        (("connect", valve),),
    )


def series(steps: int, seed: int = 0) -> Plan:
    """Rounds of work on one housing after another, cut to a number of steps."""
    rows: list[Acts] = []
    rng = Random(seed)  # noqa: S311 - instances, not secrets
    while len(rows) < steps:
        k = rng.randrange(MOST)
        rows += [*CUT, *_work(k), *FILL, (("leak_check", f"housing{k}"),)]
    writer = _Writer()
    writer.chain(rows[:steps], 0)
    return writer.plan(unit(MOST, valves=False))


def vented(branches: int, seed: int = 0) -> Plan:
    """Each branch on its own housing of one vented line."""
    writer = _Writer()
    done = writer.chain(CUT, 0)
    ends = done
    for k in range(branches):
        ends |= writer.chain(_work(k), done)
    checks = [(("leak_check", f"housing{k}"),) for k in range(branches)]
    writer.chain([*FILL, *checks], ends)
    return writer.plan(unit(branches, valves=False))


def valves(branches: int, seed: int = 0) -> Plan:
    """Each branch on its own valve and drain of a live header."""
    writer = _Writer()
    ends = 0
    for k in range(branches):
        ends |= writer.chain(_own(k), 0)
    writer.chain([(("leak_check", f"housing{k}"),) for k in range(branches)], ends)
    return writer.plan(unit(branches, valves=True))


def unvented(branches: int, seed: int = 0) -> Plan:
    """As `vented`, the line cut off but not vented."""
    writer = _Writer()
    done = writer.chain(CUT[:1], 0)
    for k in range(branches):
        writer.chain(_work(k)[1:], done)
    return writer.plan(unit(branches, valves=False))


def loose(branches: int, seed: int = 0) -> Plan:
    """Branches of five random acts on random housings of a vented line."""
    rng = Random(seed)  # noqa: S311
    writer = _Writer()
    done = writer.chain(CUT, 0)
    for _ in range(branches):
        rows = [rng.choice(_work(rng.randrange(branches))) for _ in range(5)]
        writer.chain(rows, done)
    return writer.plan(unit(branches, valves=False))


def almost_free(steps: int = 20, seed: int = 0) -> Plan:
    """Random acts on valves, drains and housings, each after one other at most."""
    rng = Random(seed)  # noqa: S311
    writer = _Writer()
    done = 0
    for place in range(steps):
        after = 1 << rng.randrange(place) if place and rng.random() < 0.15 else 0
        done |= writer.add(rng.choice(_own(rng.randrange(2))), after)
    return writer.plan(unit(2, valves=True))


FAMILIES: dict[str, Callable[[int, int], Plan]] = {
    "series": series,
    "vented": vented,
    "valves": valves,
    "unvented": unvented,
    "loose": loose,
    "almost_free": almost_free,
}
"""Every family by name: (size, seed) -> plan."""
