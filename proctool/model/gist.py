"""What little of a plan is asked about again once the plan itself is let go."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Gist:
    """One procedure on one unit, as the rules over heads, units and the whole library look at it."""

    unit: str
    verbs: frozenset[str]
    """Verbs of all acts."""
    opened: frozenset[str]
    """Ids of the parts that are opened."""
    things: frozenset[str]
    """Names of the library's things that it uses."""
    replaced: frozenset[str]
    """Those of steps that fit, renew or dose: some of them is left over."""
    waits: Fraction
    """Minutes of the longest chain of steps that last."""
    files: frozenset[str]
    """Where its steps and the energies of its unit are written."""
