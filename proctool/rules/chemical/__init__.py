"""What the technician brings in is out again."""

from proctool.rules.chemical import (
    not_flushed,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (not_flushed.RULE,)
"""The pack's rules, by hand: adding one is adding its line."""
