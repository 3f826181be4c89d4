"""A joint is tight before pressure comes to it.

Why: A joint that was only turned by hand holds until the pressure is there, and then lets go at once. By
then it must not be tightened any more: that is work under pressure.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on by hand.
        close: housing
      - use: restore

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on by hand.
        close: housing
      - do: Tighten the <housing> to <housing.tighten>.
        tighten: housing
      - use: restore
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/not-tightened",
    page=__doc__,
    of_proof=True,
    message="{energies} comes to the {part} before it is tight.",
    help="Tighten it to its value before refilling.",
)
