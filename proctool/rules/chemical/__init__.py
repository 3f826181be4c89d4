"""What the technician brings in is out again."""

from proctool.rules.chemical import (
    contact_time,
    not_flushed,
    residue_untested,
)
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    contact_time.RULE,
    not_flushed.RULE,
    residue_untested.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
