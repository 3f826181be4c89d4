"""All rules by id. Packs list theirs by hand."""

from proctool.rules import chemical, content, energy, file, graph, house, leak, tables, unit, wording
from proctool.rules.rule import Rule

PACKS: tuple[tuple[Rule, ...], ...] = (
    file.PACK,
    graph.PACK,
    unit.PACK,
    energy.PACK,
    leak.PACK,
    chemical.PACK,
    tables.PACK,
    wording.PACK,
    content.PACK,
    house.PACK,
)

RULES: dict[str, Rule] = {rule.id: rule for pack in PACKS for rule in pack}
"""Every rule by its id."""
