"""Cases as the YAML text of a small library."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import yaml

from .make_procedure import every_entry

BODY = {"open": "dismantle", "close": "reassemble"}  # on isolators and vents, open and close are positions


class _Plain(yaml.SafeDumper):
    """Writes every mapping and list out in full: aliases are refused by the package."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def as_yaml(document: dict[str, Any]) -> str:
    """A document as YAML text whose scalars all read back as the same text."""
    return yaml.dump(document, Dumper=_Plain, sort_keys=False, allow_unicode=True, width=110)


def files(unit: dict[str, Any], procedure: dict[str, Any]) -> dict[str, str]:
    """The texts of a small library that holds the case."""
    written = deepcopy(procedure)
    for entry in every_entry(written["steps"]):
        for said in [entry, *entry.get("acts", [])]:
            _name_bodies(unit, said)
    return {
        "library.yaml": as_yaml({"library": "cases"}),
        "units/u.yaml": as_yaml(unit),
        "p.yaml": as_yaml(written),
    }


def _name_bodies(unit: dict[str, Any], said: dict[str, Any]) -> None:
    """Write the opening of an isolator's or vent's body with the words that the format has for it."""
    written = {}
    for key, what in said.items():
        body = key in BODY and unit["parts"][what]["role"] in ("isolator", "vent")
        written[BODY[key] if body else key] = what
    said.clear()
    said.update(written)
