"""Electricity comes back beside a part that was opened only after its leak check.

Why: A bad joint leaks in the first minutes after refilling. A jet of water onto a live motor, plug or
terminal box can kill whoever stands in the puddle.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: plug
      - restore: plug           # the pump stands beside the housing
      - use: restore

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore            # water, leak check, and only then the plug
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/power-before-check",
    page=__doc__,
    of_proof=True,
    message="Electricity of the {part} comes back before the wet part beside it is leak-checked.",
    help="Do the leak check first.",
)
