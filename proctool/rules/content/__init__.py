"""What instructions must hold."""

from proctool.rules.content import deviation_expired, deviation_unused
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (deviation_expired.RULE, deviation_unused.RULE)
"""The pack's rules, by hand: adding one is adding its line."""
