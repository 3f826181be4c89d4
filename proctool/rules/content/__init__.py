"""What instructions must hold."""

from proctool.rules.content import (
    deviation_expired,
    deviation_unused,
    figure_no_alt,
    group_lock,
    inspection_overdue,
    lubricant_unfit,
    no_disposal,
    no_due,
    no_people,
    no_revision,
    no_time,
    ppe_missing,
    supply_unlisted,
    supply_unused,
    tighten_no_value,
    tool_unlisted,
    tool_unused,
    unit_uncovered,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    deviation_expired.RULE,
    deviation_unused.RULE,
    figure_no_alt.RULE,
    group_lock.RULE,
    inspection_overdue.RULE,
    lubricant_unfit.RULE,
    no_disposal.RULE,
    no_due.RULE,
    no_people.RULE,
    no_revision.RULE,
    no_time.RULE,
    ppe_missing.RULE,
    supply_unlisted.RULE,
    supply_unused.RULE,
    tighten_no_value.RULE,
    tool_unlisted.RULE,
    tool_unused.RULE,
    unit_uncovered.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
