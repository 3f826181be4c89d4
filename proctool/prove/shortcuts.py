"""What the exploration may leave out. Each shortcut can be switched off; none may change a finding."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shortcuts:
    """Which shortcuts are taken."""

    kept: bool = True
    """What follows from the positions of devices is worked out once for each energy."""
    apart: bool = True
    """Steps that share nothing with others are walked by themselves, not in every mixture (`apart`)."""


PLAIN = Shortcuts(kept=False, apart=False)
"""The plain walk, pair by pair."""
