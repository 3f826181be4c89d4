"""Blocks and bases do not need each other in a circle.

Why: A block that uses itself, straight or through others, never ends: there is no list of steps to prove or
to print.

Source: Common practice, no source: the file format is proctool's own.

Bad::

    steps:
      - use: look
    blocks:
      look:
        title: Look round
        steps:
          - do: Look at the <housing>.
          - use: listen
      listen:
        title: Listen
        steps:
          - do: Listen to the <pump>.
          - use: look

Good::

    steps:
      - use: look
    blocks:
      look:
        title: Look round
        steps:
          - do: Look at the <housing>.
          - use: listen
      listen:
        title: Listen
        steps:
          - do: Listen to the <pump>.
"""

from proctool.rules.rule import Rule

RULE = Rule("file/cycle", page=__doc__, never=True)
