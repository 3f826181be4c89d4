"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/too-free",
    page=__doc__,
    never=True,
    message="Too many orders to explore: nothing is proven. {part} costs most.",
    help="Give these steps an order, or split the procedure.",
)
