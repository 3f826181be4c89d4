"""Whether the steps can be carried out at all."""

from proctool.rules.graph import (
    end_unsafe,
    need_unmet,
    too_free,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    end_unsafe.RULE,
    need_unmet.RULE,
    too_free.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
