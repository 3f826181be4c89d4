"""The seal of an opened part is looked at or replaced before the part is closed.

Why: A seal that is cut, flat or dirty is the usual cause of a leak, and it is seen only while the part
stands open.

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

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - check: The seal of the <housing> has no cut and no flat side.
        inspect_seal: housing
        otherwise:
          steps:
            - new_seal: housing
          continue: true
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/seal-not-inspected",
    page=__doc__,
    of_proof=True,
    message="The {part} is closed and its seal was not looked at.",
    help="Inspect the seal or fit a new one while the part stands open.",
)
