"""Boundaries that were opened are tested."""

from proctool.rules.leak import (
    bled_dry,
    bled_shut,
    boost_unseen,
    checked_dry,
    checked_open,
    filled_at_once,
    full_before_bleed,
    left_open,
    no_duration,
    no_way_back,
    not_bled,
    not_tightened,
    power_before_check,
    seal_not_inspected,
    unchecked,
    worked_under_pressure,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    bled_dry.RULE,
    bled_shut.RULE,
    boost_unseen.RULE,
    checked_dry.RULE,
    checked_open.RULE,
    filled_at_once.RULE,
    full_before_bleed.RULE,
    left_open.RULE,
    no_duration.RULE,
    no_way_back.RULE,
    not_bled.RULE,
    not_tightened.RULE,
    power_before_check.RULE,
    seal_not_inspected.RULE,
    unchecked.RULE,
    worked_under_pressure.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
