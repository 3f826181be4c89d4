"""One reading only."""

from proctool.rules.rule import Rule
from proctool.rules.wording import (
    act_unsaid,
    condition_late,
    cut_text,
    not_imperative,
    number_bare,
    part_renamed,
    signal_word,
    too_long,
    two_actions,
    unit_spacing,
    unmeasured,
    vague,
    warning_acts,
    warning_late,
    warning_thin,
)

PACK: tuple[Rule, ...] = (
    act_unsaid.RULE,
    condition_late.RULE,
    cut_text.RULE,
    not_imperative.RULE,
    number_bare.RULE,
    part_renamed.RULE,
    signal_word.RULE,
    too_long.RULE,
    two_actions.RULE,
    unit_spacing.RULE,
    unmeasured.RULE,
    vague.RULE,
    warning_acts.RULE,
    warning_late.RULE,
    warning_thin.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
