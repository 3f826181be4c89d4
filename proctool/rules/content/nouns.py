"""English words for what a technician brings along, as texts name it. A list to add to."""

from __future__ import annotations

import re

_TOOLS = (
    r"spanner|(?:torque |strap |pipe )?wrench(?:es)?|screwdriver|pliers|hammer|mallet|hex key|socket set"
    r"|knife|scraper|brush|cloth|rag|towel|bucket|funnel|torch|mirror|ladder|multimeter|voltage tester"
    r"|feeler gauge|calliper|bearing puller|lifting strap|sling|syringe"
)
_SUPPLIES = (
    r"grease|oil|lubricant|sealant|thread tape|disinfectant|bleach|solvent|detergent|degreaser|descaler"
    r"|antifreeze"
)
_SPARES = r"O-ring|gasket|seal|cartridge|filter element|desiccant|lamp|belt|fuse"
_WORN = (
    r"(?:safety |protective )?(?:glasses|goggles|gloves|boots|shoes|clothing)|visor|face shield|ear ?plugs"
    r"|ear defenders|hearing protection|helmet|hard hat|apron|respirator|mask|overalls|harness"
)
_BETWEEN = r"(?:[\w-]+ ){0,3}?"

TOOL = re.compile(rf"\b(?:with|a|an|the|your) {_BETWEEN}(?P<noun>{_TOOLS})\b", re.IGNORECASE)
"""A tool that a text names in its own words: `with a 19 mm spanner`."""
SUPPLY = re.compile(
    rf"\b(?:new|fresh|some|a little|apply|(?:film|coat|drop|bead)s? of) {_BETWEEN}"
    rf"(?P<noun>{_SUPPLIES}|{_SPARES})\b|\bwith {_BETWEEN}(?P<material>{_SUPPLIES})\b",
    re.IGNORECASE,
)
"""A supply that a text names in its own words: `a new O-ring`, `with grease`."""
ORDERS = re.compile(r"\b(?:wear|put on|use)\b", re.IGNORECASE)
"""A safety message that orders something to be worn or used."""
WORN = re.compile(rf"\b(?:{_WORN})\b", re.IGNORECASE)
"""Protective equipment, wherever it is named."""
NEW = re.compile(r"\b(?:new|fresh|spare)\b", re.IGNORECASE)
"""What comes out of a box and not out of the unit."""


def noun_in(found: re.Match[str]) -> str:
    """The noun of a match of `TOOL` or `SUPPLY`."""
    return next(text for text in found.groupdict().values() if text)
