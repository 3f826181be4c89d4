"""No text loses its end to a comma, a ` #`, a brace or a colon.

Why: A sentence that lost its end still reads like a sentence: `Close the valve` for `Close the valve, and
wait for zero`. YAML cuts it without a word.

Source: Common practice, no source: these are traps of YAML.

Bad::

    file: |
      procedure: example
      title: Change the cartridge
      units: [EX-1]
      steps:
        - {do: Lift the cup off the drain, and hold it upright.}

Good::

    file: |
      procedure: example
      title: Change the cartridge
      units: [EX-1]
      steps:
        - do: >-
            Lift the cup off the drain, and hold it upright.
"""

from proctool.rules.rule import Rule

RULE = Rule("wording/cut-text", page=__doc__, never=True)
