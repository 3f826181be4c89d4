"""Random small units, by seed."""

from __future__ import annotations

import random
from typing import Any

from proctool.model.unit import Unit
from tests.network.build import unit

FORMS = ("liquid_pressure", "electricity", "gas_pressure", "heat")
ROLES = ("component", "component", "store", "check_valve", "restriction", "vent", "vent", "gauge")


def random_unit(
    seed: int, depth: str | None = None, isolators: int = 7, *, alike: bool = False
) -> tuple[Unit, list[str], list[str]]:
    """A unit, parts to be worked on, and parts that must be off besides.

    With `alike` all isolators can be locked and are the unit's own, so that the later comparisons decide.
    """
    rng = random.Random(seed)  # noqa: S311 - units for tests, no secrets
    energies: dict[str, dict[str, Any]] = {
        f"e{i}": {
            "form": rng.choice(FORMS),
            "depth": depth or rng.choice(("single", "single", "double", "double_block_and_bleed")),
            "brought": rng.random() < 0.1,
        }
        for i in range(rng.choice((1, 1, 2, 3)))
    }
    names = list(energies)
    parts: dict[str, dict[str, Any]] = {}
    for i in range(rng.randint(2, isolators)):
        parts[f"v{i}"] = {
            "role": "isolator",
            "lock": "hasp" if alike else rng.choice(("hasp", "hasp", "cover", "none")),
            "site": not alike and rng.random() < 0.25,
            "normal": "off" if rng.random() < 0.2 else "on",
        }
    for i in range(rng.randint(1, 3)):
        parts[f"s{i}"] = {"role": "source"}
    if rng.random() < 0.4:
        parts["o0"] = {"role": "outlet", "feeds_back": rng.random() < 0.5}
    for i in range(rng.randint(4, 9)):
        role = rng.choice(ROLES)
        parts[f"p{i}"] = {"role": role}
        if role == "vent":
            parts[f"p{i}"]["normally_open"] = rng.random() < 0.2
        if role in {"component", "store"}:
            parts[f"p{i}"] |= {"keeps": [rng.choice(names)] if rng.random() < 0.15 else []}
            if rng.random() < 0.4:
                parts[f"p{i}"]["runs"] = rng.choice(names)
    order = list(parts)
    rng.shuffle(order)
    for fields in parts.values():
        if fields["role"] in {"component", "store", "restriction"} and rng.random() < 0.3:
            fields["near"] = [rng.choice(order)]
        if fields["role"] == "gauge":
            holders = [n for n in order if parts[n]["role"] in {"component", "store"}]
            fields |= {"at": rng.choice([*holders, "any"]), "energy": rng.choice(names)}
    placed = [name for name in order if parts[name]["role"] != "gauge"]
    lines = []
    for _ in range(rng.randint(2, 5)):
        carried = rng.sample(names, rng.randint(1, min(2, len(names))))
        path = rng.sample(placed, min(len(placed), rng.randint(3, 7)))
        lines.append(f"{' '.join(carried)}: {' '.join(path)}")
    able = [n for n in placed if parts[n]["role"] != "source"]
    works = rng.sample(able, min(len(able), rng.choice((1, 1, 2, 3))))
    besides = rng.sample(able, 1) if rng.random() < 0.3 else []
    return unit(energies, {name: parts[name] for name in order}, lines), works, besides
