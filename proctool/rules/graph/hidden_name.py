"""No name hides another.

Why: Where an `each`, a condition or a tool bears the name of a part, a reader cannot tell which of the two a
step acts on.

Source: Common practice, no source.

Bad::

    steps:
      - each: {pump: opens}
        steps:
          - do: Look at the <pump>.

Good::

    steps:
      - each: {part: opens}
        steps:
          - do: Look at the <part>.
"""

from proctool.rules.rule import Rule

RULE = Rule("graph/hidden-name", page=__doc__, never=True)
