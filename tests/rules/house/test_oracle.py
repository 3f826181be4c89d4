"""Monitors against walking every run: same steps found broken, and no shorter run shows any of it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from proctool.api import Library
from proctool.model.plan import Plan
from proctool.network.reach import Network
from proctool.prove import watch
from tests.rules.house import oracle

UNIT = """\
unit: T
title: A skid
energies:
  water: {form: liquid_pressure}
  mains: {form: electricity}
parts:
  supply: {role: source}
  inlet: {role: isolator, device: valve, tag: V1, throttles: true}
  bypass: {role: isolator, device: valve, tag: V2, normal: closed}
  housing: {role: component, near: [pump], seal: ring}
  drain: {role: vent, tag: V3}
  socket: {role: source}
  plug: {role: isolator, device: plug, tag: X1}
  pump: {role: component, runs: mains, near: []}
lines:
  main: {energy: water, path: [supply, inlet, pump, housing]}
  round: {energy: water, path: [supply, bypass, housing]}
  relief: {energy: water, path: [housing, drain]}
  power: {energy: mains, path: [socket, plug, pump]}
"""
ACTS = [
    *(("isolate", p) for p in ("inlet", "bypass", "plug")),
    *(("restore", p) for p in ("inlet", "bypass", "plug")),
    *(("connect", p) for p in ("inlet", "bypass")),
    *(("lock", p) for p in ("inlet", "plug")),
    *(("unlock", p) for p in ("inlet", "plug")),
    *((verb, "housing") for verb in ("open", "close", "inspect_seal", "leak_check")),
    *((verb, "pump") for verb in ("start", "stop", "open")),
    *((verb, "drain") for verb in ("vent", "shut")),
    ("lubricate", {"part": "pump", "what": "bearing"}),
    ("tell", "the crew"),
]
CONDITIONS = {"glasses": ["off", "worn"], "crew": ["unaware", "told", "running"]}


def matcher(rng: random.Random) -> dict[str, Any]:
    kind = rng.randrange(9)
    if kind < 2:
        name = rng.choice(list(CONDITIONS))
        return {name: rng.choice(CONDITIONS[name])}
    verb, part = rng.choice(ACTS)
    found: dict[str, Any] = {"act": verb}
    if kind == 3 and isinstance(part, str) and verb != "tell":
        found["part"] = part
    if kind == 4 and verb in {"isolate", "restore", "lock", "unlock"}:
        found["part"] = ["inlet", "plug"]
    if kind == 5 and verb != "tell":
        found["carries"] = rng.choice(["water", "mains", "electricity", "liquid_pressure"])
    if kind == 6 and verb in {"isolate", "restore", "lock", "unlock", "connect"}:
        found |= rng.choice([{"device": "valve"}, {"device": "plug"}, {"tag": "V1"}, {"role": "isolator"}])
    if kind == 7:
        found["glasses"] = rng.choice(["off", "worn"])
    if kind == 8 and verb != "tell":
        return {"role": "component"}
    return found


def rule(rng: random.Random, name: str) -> dict[str, Any]:
    said: dict[str, Any] = {"id": name, "say": "Say so."}
    form = rng.randrange(4)
    if form == 0:
        return {**said, "before": matcher(rng), "first": matcher(rng)}
    if form == 1:
        return {**said, "after": matcher(rng), "must": matcher(rng)}
    if form == 2:
        return {**said, "never": matcher(rng)}
    return {**said, "never": matcher(rng), "between": [matcher(rng), matcher(rng)]}


def step(rng: random.Random, name: str, earlier: list[str], depth: int = 0) -> dict[str, Any]:
    said: dict[str, Any] = {"do": f"Do {name}.", "id": name}
    fails = rng.random() < (0.3 if depth == 0 else 0.15)
    if fails:
        said = {"check": f"See {name}.", "id": name}
    if rng.random() < 0.8:
        said["acts"] = [{verb: part} for verb, part in rng.sample(ACTS, rng.choice([1, 1, 2]))]
    if rng.random() < 0.4:
        made = rng.choice(list(CONDITIONS))
        said["makes"] = {made: rng.choice(CONDITIONS[made])}
    if earlier and depth == 0 and rng.random() < 0.6:
        said["after"] = rng.sample(earlier, rng.randint(0, min(2, len(earlier))))
    if fails:
        many = rng.choice([0, 1, 1]) if depth < 1 else 0
        steps = [step(rng, f"{name}-{i}", [], depth + 1) for i in range(many)]
        # Without `after` it follows all above it, so it may lead back to any of them.
        target = rng.choice([name, *(earlier if "after" not in said else [])])
        back = {"back_to": target, "at_most": 1, "then": {"continue": True}}
        ending: dict[str, Any] = rng.choice([{"continue": True}, {"end_here": "Stop."}, back])
        said["otherwise"] = {"steps": steps, **ending}
    return said


class _Plain(yaml.SafeDumper):
    """Writes what stands twice twice."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def dumped(data: object) -> str:
    return yaml.dump(data, Dumper=_Plain, sort_keys=False)


def library(seed: int) -> tuple[Library, list[dict[str, Any]]]:
    rng = random.Random(seed)  # noqa: S311 - cases, not secrets
    rules = [rule(rng, f"r{i}") for i in range(8)]
    names = [f"s{i}" for i in range(rng.choice([3, 4, 4, 5]))]
    steps = [step(rng, name, names[:i]) for i, name in enumerate(names)]
    texts = {
        "library.yaml": dumped({"library": "T", "conditions": CONDITIONS, "house_rules": rules}),
        "unit.yaml": UNIT,
        "procedure.yaml": dumped({"procedure": "work", "title": "Work", "units": ["T"], "steps": steps}),
    }
    return Library.from_texts(texts), rules


def watched(
    lib: Library, plan: Plan, *, shortcuts: bool = True
) -> Iterator[tuple[str, dict[str | None, int]]]:
    for monitor in lib.watchlist.monitors(plan, Network(plan.unit)):
        if monitor.rule.startswith("house/"):
            seen = watch(plan, monitor, shortcuts=shortcuts)
            assert seen.explored
            found: dict[str | None, int] = {}
            for caught in seen.caught:
                found[caught.step] = min(len(caught.trace), found.get(caught.step, len(caught.trace)))
            yield monitor.rule, found


@pytest.mark.parametrize("block", range(10))
def test_against_every_run(block):
    tried = 0
    for seed in range(block * 10, block * 10 + 10):
        lib, rules = library(seed)
        plan = next(iter(lib.cases())).plan
        assert plan is not None, lib.check().to_text()
        found = dict(watched(lib, plan))
        assert found == dict(watched(lib, plan, shortcuts=False)), f"seed {seed}: shortcuts change something"
        for written in rules:
            name = f"house/{written['id']}"
            assert found.get(name, {}) == oracle.expected(plan, written), f"seed {seed}: {written}"
            tried += 1
    assert tried == 80
