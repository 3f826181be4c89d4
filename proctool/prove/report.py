"""What an act or a moment breaks, as the exploration notes it."""

from __future__ import annotations

from typing import NamedTuple

from proctool.prove.state import State


class Report(NamedTuple):
    """A rule broken on a part, or on a condition for `graph/need-unmet`."""

    rule: str
    part: str
    energy: str | None = None


Done = tuple[State, list[Report]]
"""The state after an act or a step, and every rule it broke."""
