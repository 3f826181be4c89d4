"""A company's own rules, over every order: each is called `house/` and its id. These are rules about them."""

from proctool.rules.house import contradiction, idle
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    contradiction.RULE,
    idle.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
