"""Zero is verified before a part is opened, and the energy cannot have come back since.

Why: What should be empty may not be: a valve leaks by, a vent is blocked. The reading is what shows it; and
it stays true only while the way out stays open, because what leaks in afterwards builds up again.

Source: 29 CFR 1910.147(d)(6): isolation is verified before work starts; (d)(5)(ii): where energy can build up
again, it is verified until the work is done or the possibility is gone.

Bad::

    steps:
      - use: make-safe
      - shut: drain
      - do: Unscrew the <housing>.
        open: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-unproven",
    page=__doc__,
    of_proof=True,
    message="The {part} is opened before zero of {energies} is verified, or after it could come back.",
    help="Verify zero with a gauge, a tester or an open vent, and leave the way out open until then.",
)
