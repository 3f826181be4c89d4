"""One reading only."""

from proctool.rules.rule import Rule
from proctool.rules.wording import cut_text

PACK: tuple[Rule, ...] = (cut_text.RULE,)
"""The pack's rules, by hand: adding one is adding its line."""
