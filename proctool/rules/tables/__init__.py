"""Numbers that can be acted on without arithmetic."""

from proctool.rules.rule import Rule
from proctool.rules.tables import (
    gauge_too_coarse,
    measures,
    no_while,
    row_off,
    too_fine,
    uncovered,
    unguarded,
    unsafe_side,
)

PACK: tuple[Rule, ...] = (
    gauge_too_coarse.RULE,
    measures.RULE,
    no_while.RULE,
    row_off.RULE,
    too_fine.RULE,
    uncovered.RULE,
    unguarded.RULE,
    unsafe_side.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
