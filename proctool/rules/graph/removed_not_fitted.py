"""What is taken out of a part is put in again, it or a new one, before the procedure ends.

Why: A housing without its cartridge closes, fills and holds pressure like one that has it. Nobody sees that
the water is not filtered.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Take the used cartridge out.
        remove: cartridge
      - do: Screw the <housing> on.
        close: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Take the used cartridge out.
        remove: cartridge
      - do: Put a new <housing.cartridge> in.
        fit: cartridge
      - do: Screw the <housing> on.
        close: housing
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("graph/removed-not-fitted", page=__doc__, level=Level.WARNING)
