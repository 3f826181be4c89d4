"""A cover comes off only when the electricity behind it is cut off.

Why: The cover is the last thing between a hand and the terminals. A tool that slips while its screws are
loosened touches them first. A charge that is left behind it is another matter: a tester reaches it only
without the cover.

Source: 29 CFR 1910.147(d)(3): the isolating devices are operated before the work. NFPA 70E-2018 120.5 (read
in a summary) opens the disconnects before the test for absence of voltage.

Bad::

    unit:
      parts:
        pump: {cover: true}
    steps:
      - stop: pump
      - do: Unscrew the cover of the <pump>.
        uncover: pump
      - isolate: plug
        lock: plug

Good::

    unit:
      parts:
        pump: {cover: true}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - do: Unscrew the cover of the <pump>.
        uncover: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/uncovered-live",
    page=__doc__,
    of_proof=True,
    message="The cover of the {part} comes off while {energies} is live behind it.",
    help="Isolate and lock first; a charge that is left is tested for behind the cover.",
)
