"""Whether a unit file is fit to prove with."""

from proctool.rules.rule import Rule
from proctool.rules.unit import (
    blind_spot,
    control_unfit,
    end_unsaid,
    gauge_misplaced,
    idle_isolator,
    isolator_unnamed,
    near_unsaid,
    not_covered,
    source_uncut,
    unchecked,
    why_unsaid,
)

PACK: tuple[Rule, ...] = (
    blind_spot.RULE,
    control_unfit.RULE,
    end_unsaid.RULE,
    gauge_misplaced.RULE,
    idle_isolator.RULE,
    isolator_unnamed.RULE,
    near_unsaid.RULE,
    not_covered.RULE,
    source_uncut.RULE,
    unchecked.RULE,
    why_unsaid.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
