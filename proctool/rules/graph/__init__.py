"""Whether the steps can be carried out at all."""

from proctool.rules.graph import (
    act_missing,
    act_unfit,
    act_unopened,
    acts_may_mix,
    closed_unopened,
    cycle,
    duplicate_id,
    end_unsafe,
    endless,
    hidden_name,
    idle_act,
    idle_check,
    need_unmet,
    need_unsaid,
    order_matters,
    removed_not_fitted,
    too_free,
    unknown_name,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    act_missing.RULE,
    act_unfit.RULE,
    act_unopened.RULE,
    acts_may_mix.RULE,
    closed_unopened.RULE,
    cycle.RULE,
    duplicate_id.RULE,
    end_unsafe.RULE,
    endless.RULE,
    hidden_name.RULE,
    idle_act.RULE,
    idle_check.RULE,
    need_unmet.RULE,
    need_unsaid.RULE,
    order_matters.RULE,
    removed_not_fitted.RULE,
    too_free.RULE,
    unknown_name.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
