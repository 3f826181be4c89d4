"""Seeded plans with real freedom: branches side by side, checks that lead on, back and out.

Plans are built as the model has them, without files: steps of random acts, half of which mean well. Units are
those of the oracle's cases, and manifolds: housings side by side on one line, with valves, drains and gauges
of their own or none.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from random import Random
from typing import Any

from proctool.api import Library
from proctool.model.plan import Act, BackTo, Continue, EndHere, Frame, Need, Otherwise, Plan, Step, StepKind
from proctool.model.span import Span
from proctool.model.unit import Unit
from tests.oracle.course import VERBS
from tests.oracle.damage_unit import damage_unit, fitting
from tests.oracle.make_unit import make_unit
from tests.oracle.text import files

Dict = dict[str, Any]
HERE = Span("p.yaml", 1, 1, 1, 2)
FLUID = {"form": "liquid_pressure", "normal": "4 bar", "safe": "0 bar"}
MAINS = {"form": "electricity", "normal": "230 V", "safe": "0 V"}
UNITS = 240


def manifold(rng: Random, branches: int) -> Dict:
    """Housings on one line."""

    def chance(share: float) -> bool:
        return rng.random() < share

    parts: Dict = {"main": {"role": "source"}, "inlet": {"role": "isolator", "device": "valve"}}
    fluid = dict(FLUID)
    if chance(0.15):
        fluid["isolation"] = rng.choice(["double", "double_block_and_bleed"])
    energies: Dict = {"fluid": fluid}
    path = ["main", "inlet"]
    if fluid.get("isolation") or chance(0.2):
        parts["second"] = {"role": "isolator", "device": "valve"}
        path.append("second")
    if chance(0.5):
        parts["inlet"]["throttles"] = "true"
    parts["header"] = {"role": "component"}
    path.append("header")
    lines: Dict = {"feed": {"energy": "fluid", "path": path}}
    own_valves, own_drains = rng.choice([0.0, 1.0, 1.0, 0.5]), rng.choice([0.0, 1.0, 0.5])
    if own_drains < 1 or chance(0.3):
        parts["vent"] = {"role": "vent"}
        lines["vent"] = {"energy": "fluid", "path": ["header", "vent"]}
    for k in range(branches):
        branch = ["header"]
        if chance(own_valves):
            parts[f"valve{k}"] = {"role": "isolator", "device": "valve"}
            branch.append(f"valve{k}")
        housing: Dict = {"role": "store" if chance(0.1) else "component"}
        parts[f"housing{k}"] = housing
        marks = {"seal": "O-ring", "tighten": "22 N·m", "traps_air": "true"}
        housing |= {name: value for name, value in marks.items() if chance(0.5)}
        if chance(0.1):
            housing[rng.choice(["keeps", "rebuilds"])] = ["fluid"]
        branch.append(f"housing{k}")
        lines[f"branch{k}"] = {"energy": "fluid", "path": branch}
        if chance(own_drains):
            parts[f"drain{k}"] = {"role": "vent"}
            lines[f"drain{k}"] = {"energy": "fluid", "path": [f"housing{k}", f"drain{k}"]}
        if chance(0.6):
            parts[f"gauge{k}"] = {"role": "gauge", "at": f"housing{k}", "energy": "fluid"}
        if chance(0.3):
            energies["mains"] = MAINS
            parts.setdefault("socket", {"role": "source"})
            parts[f"switch{k}"] = {"role": "isolator", "device": "breaker"}
            parts[f"pump{k}"] = {"role": "component", "runs": "mains"}
            lines[f"power{k}"] = {"energy": "mains", "path": ["socket", f"switch{k}", f"pump{k}"]}
            if chance(0.6):
                housing["near"] = [f"pump{k}"]
    return {"unit": "U", "title": "Manifold", "energies": energies, "parts": parts, "lines": lines}


@cache
def unit(number: int) -> tuple[Dict, Unit]:
    """A unit as a file has it, and as the model has it."""
    rng = Random(number)  # noqa: S311 - cases, not secrets
    said = manifold(rng, rng.choice([2, 2, 3])) if number % 2 else make_unit(rng).unit()
    if rng.random() < 0.3:
        said = damage_unit(rng, said)
    procedure = {"procedure": "p", "title": "P", "units": ["U"], "steps": [{"do": "Work.", "id": "a"}]}
    (found,) = Library.from_texts(files(said, procedure)).cases()
    assert found.plan is not None, [f.message for f in found.findings]
    return said, found.plan.unit


class Maker:
    """Makes one plan."""

    def __init__(self, rng: Random, said: Dict, unit: Unit, free: int) -> None:
        self.rng, self.said, self.unit, self.free = rng, said, unit, free
        self.number = 0
        self.conditions = {"told": ("no", "yes")} if rng.random() < 0.3 else {}
        self.housings = [n for n, d in said["parts"].items() if d["role"] in ("component", "store")]

    def plan(self) -> Plan:
        """Some steps in order, branches side by side, some steps in order; at times one free of all."""
        steps: list[Step] = []
        before: list[int] = []

        def add(step: Step, after: int) -> int:
            closed = after
            for i in range(len(steps)):
                if after >> i & 1:
                    closed |= before[i]
            steps.append(step)
            before.append(closed)
            return 1 << len(steps) - 1

        done = 0
        for _ in range(self.rng.choice([1, 1, 1, 2])):
            for acts in self.preface():
                done |= add(self.step(acts), done)
            ends = done
            whole = 0
            for branch in self.branches():
                last = done
                for acts in branch:
                    mine = add(self.step(acts), last)
                    whole |= mine
                    if self.rng.random() < 0.85:
                        last = mine
                    elif self.rng.random() < 0.5:
                        last |= 1 << self.rng.randrange(len(steps)) & whole
                ends |= last
            done = ends | whole
            for acts in self.give_back():
                done |= add(self.step(acts), done)
        if self.rng.random() < 0.25 and steps:
            after = 0 if self.rng.random() < 0.5 else 1 << self.rng.randrange(len(steps))
            kind = [Act("tell", "", HERE, what="crew")] if self.rng.random() < 0.6 else self.any_acts(1)
            add(self.step(kind, may_fail=False), after)
        frame = Frame(tuple(steps), tuple(before))
        frame = self.with_checks(frame)
        return Plan("p", "P", self.unit, frame, HERE, self.conditions, {}, {})

    def acts(self, *said: tuple[str, str] | None) -> list[Act]:
        return [Act(verb, part, HERE) for verb, part in filter(None, said)]

    def any_acts(self, most: int) -> list[Act]:
        """Acts of any kind on any part that they can be done to."""
        found: list[Act] = []
        for _ in range(50):
            verb = self.rng.choice([v for v in VERBS if v not in ("tell", "prove_tester", "fit", "remove")])
            what = fitting(self.rng, self.said, verb)
            if verb in ("clean", "lubricate"):
                found.append(Act(verb, self.rng.choice(self.housings), HERE, what="it"))
            elif isinstance(what, dict):
                found.append(Act(verb, what["part"], HERE, what.get("by"), what.get("energy")))
            elif what is not None:
                found.append(Act(verb, what, HERE))
            if len(found) >= self.rng.randint(1, most):
                break
        return found

    def preface(self) -> Iterator[list[Act]]:
        """Cut everything off, or most of it, or nothing."""
        share = self.rng.choice([0.0, 0.6, 1.0, 1.0])
        main_only = self.rng.random() < 0.5
        for name, d in self.said["parts"].items():
            if (
                self.rng.random() >= share
                or main_only
                and name[-1:].isdigit()
                and self.said["title"] == "Manifold"
            ):
                continue
            if "runs" in d:
                yield self.acts(("stop", name))
            if d["role"] == "isolator":
                yield self.acts(("isolate", name), ("lock", name) if self.rng.random() < 0.85 else None)
            if d["role"] == "vent" and self.rng.random() < 0.9:
                yield self.acts(("vent", name))
        if self.rng.random() < 0.4:  # open before the branches begin, and perhaps shut in one of them
            for name in self.rng.sample(self.housings, min(len(self.housings), self.rng.choice([1, 2]))):
                verb = "uncover" if self.said["parts"][name].get("cover") == "true" else "open"
                yield self.acts((verb, name))

    def give_back(self) -> Iterator[list[Act]]:
        """Put some of it back."""
        for name, d in self.said["parts"].items():
            if self.rng.random() < 0.5:
                if d["role"] == "isolator":
                    yield self.acts(("unlock", name), ("restore", name))
                elif d["role"] == "vent":
                    yield self.acts(("shut", name))
                elif "near" in d or "seal" in d:
                    yield self.acts(("leak_check", name)) if self.rng.random() < 0.4 else []

    def branches(self) -> Iterator[list[list[Act]]]:
        """What is done side by side."""
        picked = self.rng.sample(self.housings, min(len(self.housings), self.rng.choice([1, 2, 2, 3])))
        if self.rng.random() < 0.2:  # two branches on one housing
            picked.append(picked[0])
        length = self.rng.choice([1, 2, 3, 4]) if self.free == 0 else self.free
        for housing in picked:
            branch = self.around(housing) if self.rng.random() < 0.8 else []
            while self.rng.random() < 0.25 or not branch:
                branch.insert(self.rng.randint(0, len(branch)), self.any_acts(2))
            start = self.rng.randrange(max(1, len(branch) - length + 1))
            yield branch[start : start + length]
        if self.rng.random() < 0.3:
            yield [self.any_acts(1)]

    def around(self, housing: str) -> list[list[Act]]:
        """Work on one housing: its own valve, drain and gauge, open, look, close."""
        number = housing.removeprefix("housing")
        parts, d = self.said["parts"], self.said["parts"][housing]
        found: list[list[Act]] = []
        own = [n for n in (f"valve{number}", f"switch{number}") if n in parts]
        found += [self.acts(("isolate", n), ("lock", n)) for n in own]
        drain = f"drain{number}" if f"drain{number}" in parts else ""
        found += [self.acts(("vent", drain))] if drain else []
        by = next((n for n in (f"gauge{number}", drain, "vent", "gauge1", "vent1") if n in parts), None)
        found += [[Act("verify_zero", housing, HERE, by)]] if by else []
        found.append(self.acts(("open", housing)))
        found += [[Act("clean", housing, HERE, what="it")]] if self.rng.random() < 0.4 else []
        found += [self.acts((self.rng.choice(["inspect_seal", "new_seal"]), housing))] if "seal" in d else []
        found.append(self.acts(("close", housing)))
        found += [self.acts(("tighten", housing))] if "tighten" in d else []
        found += [self.acts(("shut", drain))] if drain else []
        found += [self.acts(("unlock", n), ("restore", n)) for n in own]
        found += [self.acts(("leak_check", housing))] if self.rng.random() < 0.4 else []
        return [acts for acts in found if self.rng.random() < 0.93]

    def step(self, acts: list[Act], *, may_fail: bool | None = None) -> Step:
        self.number += 1
        needs: tuple[Need, ...] = ()
        if self.rng.random() < 0.06:
            name = self.rng.choice(self.housings)
            word = self.rng.choice(["open", "shut", "relieved", "proven", "live", "leak_checked"])
            needs = (Need(name, word, HERE),)
        makes: tuple[tuple[str, str], ...] = ()
        if self.conditions and self.rng.random() < 0.2:
            makes = (("told", self.rng.choice(["no", "yes"])),)
        elif self.conditions and self.rng.random() < 0.2:
            needs += (Need("told", self.rng.choice(["no", "yes"]), HERE),)
        once = bool(acts) and all(act.verb in ("clean", "tell") for act in acts) and self.rng.random() < 0.6
        kind = StepKind.CHECK if may_fail is not False and self.rng.random() < 0.18 else StepKind.DO
        return Step(f"s{self.number}", kind, "Work.", HERE, tuple(acts), needs, makes, None, once)

    def with_checks(self, frame: Frame) -> Frame:
        """The frame with what happens when its checks fail."""
        steps = []
        for i, step in enumerate(frame.steps):
            if step.kind is not StepKind.CHECK:
                steps.append(step)
                continue
            targets = [i, *(j for j in range(len(frame.steps)) if frame.before[i] >> j & 1)]
            backs = [frame.followers(1 << j) for j in targets]
            steps.append(self.failing(step, backs, 0))
        return Frame(tuple(steps), frame.before)

    def failing(self, step: Step, backs: list[int], depth: int) -> Step:
        return Step(**{**_fields(step), "otherwise": self.otherwise(backs, depth)})

    def otherwise(self, backs: list[int], depth: int) -> Otherwise:
        inner = [self.step(self.any_acts(2)) for _ in range(self.rng.choice([0, 0, 1, 1, 2]))]
        order = self.rng.random() < 0.5
        frame = Frame(tuple(inner), tuple((1 << i) - 1 if order else 0 for i in range(len(inner))))
        steps = []
        for one in frame.steps:
            if one.kind is StepKind.CHECK and depth < 1:
                steps.append(self.failing(one, backs, depth + 1))
            else:
                steps.append(Step(**{**_fields(one), "kind": StepKind.DO}))
        frame = Frame(tuple(steps), frame.before)
        kind = self.rng.random()
        if kind < 0.4:
            return Otherwise(frame, EndHere("Call."))
        if kind < 0.7:
            return Otherwise(frame, Continue())
        then = self.otherwise(backs, depth) if self.rng.random() < 0.4 else None
        return Otherwise(frame, BackTo("x", depth, self.rng.choice(backs), 1 if then else None, then))


def _fields(step: Step) -> Dict:
    return {name: getattr(step, name) for name in Step.__dataclass_fields__}


def free_plan(seed: int, free: int = 0) -> Plan:
    """The plan of a seed; `free` is the length of its branches (random, if 0)."""
    rng = Random(seed)  # noqa: S311
    said, built = unit(rng.randrange(UNITS))
    return Maker(rng, said, built, free).plan()
