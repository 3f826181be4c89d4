"""Every file has the keys and values that its kind asks for, and no others.

Why: A key that is misspelt is a key that is missing: the act is not done to the unit, the lock is not put
on, and the proof would be about another procedure than the one that people read.

Source: Common practice, no source: the file format is proctool's own.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        opens: housing          # the act is called `open`
      - new_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - new_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore
"""

from proctool.rules.rule import Rule

RULE = Rule("file/schema", page=__doc__, never=True)
