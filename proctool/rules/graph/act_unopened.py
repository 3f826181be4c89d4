"""What is fitted, removed, cleaned or lubricated inside a part happens while it stands open.

Why: Nobody takes a cartridge out of a shut housing. If a step says so, an act that opens the housing is
missing, and with it all that the proof would ask for before opening it.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Take the used cartridge out.
        remove: cartridge

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Take the used cartridge out.
        remove: cartridge
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/act-unopened",
    page=__doc__,
    message="This is done inside the {part}, which does not stand open in every order.",
    help="Open it before this step, or name the part that stands open: `{{part: …, what: …}}`.",
)
