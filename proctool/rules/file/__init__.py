"""Whether the files can be read. The reader of files and the resolver find what is wrong."""

from proctool.rules.file import cycle, figure, limit, quantity, schema, yaml
from proctool.rules.rule import Rule

PACK: tuple[Rule, ...] = (
    cycle.RULE,
    figure.RULE,
    limit.RULE,
    quantity.RULE,
    schema.RULE,
    yaml.RULE,
)
"""The pack's rules, by hand: adding one is adding its line."""
