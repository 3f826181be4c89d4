"""A deviation is past its date no longer than it takes to look at it again.

Why: An exception is granted for what was known on a day, and it has an end so that someone looks again.
After that day it does nothing: what it covered is a fault again.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore
    deviations:
      - rule: leak/seal-not-inspected
        part: housing
        why: The seal of this housing is moulded into its lid and cannot be seen.
        instead: The lid is replaced every year.
        by: A. Example
        until: 2026-03-31       # over

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore
    deviations:
      - rule: leak/seal-not-inspected
        part: housing
        why: The seal of this housing is moulded into its lid and cannot be seen.
        instead: The lid is replaced every year.
        by: A. Example
        until: 2027-03-31
"""

from proctool.rules.rule import Rule

RULE = Rule("content/deviation-expired", page=__doc__, never=True)
