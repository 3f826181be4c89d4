"""What a result is made from, each ingredient by its digest, and what differs from last time."""

from __future__ import annotations

import json
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.digest import exact


@dataclass(frozen=True, slots=True)
class Recipe:
    """The ingredients of a result: digests by names that people understand."""

    of: str
    """What is made, such as `verdict`, with a name for each of several in one library."""
    ingredients: ReadOnly[str, str]

    @property
    def key(self) -> str:
        """What the result is kept under."""
        return exact([self.of, dict(sorted(self.ingredients.items()))])

    def to_bytes(self) -> bytes:
        """As it is kept to tell next time what differs."""
        return json.dumps(self.ingredients, sort_keys=True).encode()

    def differs(self, before: bytes) -> tuple[str, ...]:
        """The ingredients that are others than in a recipe that `to_bytes` gave."""
        try:
            old = json.loads(before)
        except ValueError:
            return ()
        names = sorted(self.ingredients.keys() | old.keys())
        return tuple(name for name in names if self.ingredients.get(name) != old.get(name))
