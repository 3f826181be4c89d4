"""Each step, part, table, tool, danger and gauge that is named exists.

Why: A name that nothing answers to is a slip of the pen or a part of another unit. What it was meant to do
would be missing from the manual and from the proof.

Source: Common practice, no source.

Bad::

    steps:
      - isolate: inlet_vlave

Good::

    steps:
      - isolate: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule("graph/unknown-name", page=__doc__, never=True)
