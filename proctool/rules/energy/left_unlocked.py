"""What stands open when people walk away is dead, and locks alone keep it so.

Why: A plug in the technician's own hand is safe as long as the hand is there. Once the job is left, anyone
may push it in or turn a valve, and the part still stands open.

Source: 29 CFR 1910.147(a)(2)(iii)(A): an unplugged cord does only while the plug is under the exclusive
control of whoever does the work; (d)(4): else locks; (f)(4): protection does not stop when people change.

Bad::

    leaves:
      {housing: open, drain: open, pump: stopped, inlet_valve: closed, plug: [unplugged, locked]}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - unlock: inlet_valve

Good::

    leaves:
      {housing: open, drain: open, pump: stopped, inlet_valve: [closed, locked], plug: [unplugged, locked]}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/left-unlocked",
    page=__doc__,
    of_proof=True,
    message="The {part} is left open and no lock keeps {energies} away.",
    help="Close it, or leave the isolators locked.",
)
