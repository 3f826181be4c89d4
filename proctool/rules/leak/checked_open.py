"""A part is closed before it is checked for leaks.

Why: An open part has no joint to look at. What was seen says nothing about the joint that is made later.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - check: No water comes out at the <housing>.
        leak_check: housing
        for: 2 min
        otherwise: {end_here: Leave the locks on and call for help.}
      - do: Screw the <housing> on.
        close: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore            # fills it, then looks at it
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/checked-open",
    page=__doc__,
    of_proof=True,
    message="The {part} is leak-checked while it stands open.",
    help="Close it first.",
)
