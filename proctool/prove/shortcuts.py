"""What the exploration may leave out or shorten. Each can be switched off; none may change the answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shortcuts:
    """Which shortcuts are taken."""

    numbered: bool = True
    """States are told apart by small numbers (`course`)."""
    apart: bool = True
    """Branches that share nothing are walked one after the other, not in every mixture (`apart`)."""


ALL = Shortcuts()

PLAIN = Shortcuts(numbered=False, apart=False)
"""None: the plain walk, pair by pair (`plain`)."""
