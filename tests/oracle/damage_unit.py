"""Damage to a unit: what a wrong drawing says; and what on a unit an act can be done to."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

from .make_unit import POSITION_OFF

Mapping = dict[str, Any]


def damage_unit(rng: Random, unit: Mapping) -> Mapping:
    """A copy that differs in one thing from the unit the procedure was written for."""
    worse = deepcopy(unit)
    parts = worse["parts"]
    kind = rng.choice(
        [
            "feeds",
            "normal",
            "near",
            "air",
            "keeps",
            "rebuilds",
            "joint",
            "deep",
            "excuse",
            "seal",
            "tighten",
            "cover",
            "slow",
        ]
    )
    name = rng.choice([p for p, d in parts.items() if d["role"] != "source"])
    part = parts[name]
    if kind == "feeds" and part["role"] == "outlet":
        part.pop("feeds_back", None)
        part.pop("why", None)
    elif kind == "normal" and part["role"] == "isolator":
        part["normal"] = POSITION_OFF[part["device"]]
    elif kind == "normal" and part["role"] == "vent":
        part["normal"] = "open"
    elif kind == "near":
        others = [p for p, d in parts.items() if d["role"] == "component" and p != name]
        if others:
            part["near"] = [rng.choice(others)]
    elif kind in ("air", "tighten", "seal", "cover") and part["role"] in ("component", "store"):
        part.update(
            {
                "air": {"traps_air": "true"},
                "tighten": {"tighten": "22 N·m"},
                "seal": {"seal": "O-ring"},
                "cover": {"cover": "true"},
            }[kind]
        )
    elif kind in ("keeps", "rebuilds") and part["role"] in ("component", "store"):
        if any(name in line["path"] and "fluid" in line["energy"] for line in worse["lines"].values()):
            part[kind] = ["fluid"]
    elif kind == "joint" and part["role"] in ("restriction", "check_valve"):
        part["role"] = "check_valve" if part["role"] == "restriction" else "restriction"
    elif kind == "deep":
        energy = rng.choice(list(worse["energies"].values()))
        energy["isolation"] = rng.choice(["double", "double_block_and_bleed"])
    elif kind == "excuse" and part["role"] == "isolator":
        part["exclusive_control"] = "true"
    elif kind == "slow" and part.get("device") == "valve":
        part["throttles"] = "true"
    return worse


def fitting(rng: Random, unit: Mapping, verb: str) -> Any:
    """Something this verb can be done to, or None."""
    parts = unit["parts"]

    def pick(fits: Callable[[str, Mapping], bool]) -> str | None:
        names = [n for n, d in parts.items() if fits(n, d)]
        return rng.choice(names) if names else None

    def holder(d: Mapping) -> bool:
        return d["role"] in ("component", "store")

    def stands_on(name: str, wanted: Callable[[Mapping], bool]) -> bool:
        return any(
            name in line["path"]
            and any(
                wanted(unit["energies"][e])
                for e in ([line["energy"]] if isinstance(line["energy"], str) else line["energy"])
            )
            for line in unit["lines"].values()
        )

    def wet(name: str) -> bool:
        return stands_on(name, lambda e: e["form"] in ("liquid_pressure", "gas_pressure", "steam", "vacuum"))

    if verb == "verify_zero":
        part, by = pick(lambda n, d: holder(d)), pick(lambda n, d: d["role"] in ("gauge", "vent"))
        return {"part": part, "by": by} if by else None
    if verb == "dose":
        part = pick(lambda n, d: holder(d) and stands_on(n, lambda e: e.get("brought") == "true"))
        brought = [e for e, d in unit["energies"].items() if d.get("brought") == "true"]
        return {"part": part, "energy": brought[0]} if part else None
    fits: dict[str, Callable[[str, Mapping], bool]] = {
        "throttle": lambda n, d: d.get("throttles") == "true",
        "vent": lambda n, d: d["role"] == "vent",
        "shut": lambda n, d: d["role"] == "vent",
        "discharge": lambda n, d: (
            holder(d)
            and stands_on(
                n,
                lambda e: (
                    e["form"] in ("heat", "chemical")
                    or d["role"] == "store"
                    and e["form"] in ("electricity", "motion", "radiation", "gravity", "spring")
                ),
            )
        ),
        "flush": lambda n, d: holder(d) and stands_on(n, lambda e: e["form"] == "chemical"),
        "open": lambda n, d: d["role"] != "source",
        "close": lambda n, d: d["role"] != "source",
        "uncover": lambda n, d: d.get("cover") == "true",
        "cover": lambda n, d: d.get("cover") == "true",
        "inspect_seal": lambda n, d: "seal" in d,
        "new_seal": lambda n, d: "seal" in d,
        "leak_check": lambda n, d: holder(d) and wet(n),
        "bleed": lambda n, d: d.get("traps_air") == "true" and wet(n),
        "stop": lambda n, d: "runs" in d,
        "start": lambda n, d: "runs" in d,
        "try_start": lambda n, d: "runs" in d,
        "tighten": lambda n, d: "tighten" in d,
        "loosen": lambda n, d: "tighten" in d,
        "adjust": lambda n, d: "tighten" in d,
    }
    if verb in ("isolate", "connect", "restore", "lock", "unlock"):
        return pick(lambda n, d: d["role"] == "isolator")
    return pick(fits[verb]) if verb in fits else None
