"""A deviation covers something that is found.

Why: One that matches nothing is a slip in its rule, step or part, and what it was meant for is not covered;
or the procedure was mended since, and the exception lies there for the next mistake to slip through.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - new_seal: housing
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

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("content/deviation-unused", page=__doc__, level=Level.WARNING)
