"""What is discharged has first been cut off from every source of that energy.

Why: What is still fed fills up again as fast as it is let out, so the wait proves nothing; and earthing a
live conductor is a short circuit in the technician's hand.

Source: 29 CFR 1910.147(d)(4) and (d)(5)(i): stored energy is relieved after the locks are on. The electrical
practice of NFPA 70E-2018 120.5 (read in a summary) relieves before the lock, but never before the disconnect.

Bad::

    unit:
      parts:
        pump: {role: store, name: pump drive, leaves_in: {mains: 5 min}}
    steps:
      - stop: pump
      - wait: 5 min
        until: {gauge: tester, reads: 0 V}
        discharge: pump
      - isolate: plug
        lock: plug

Good::

    unit:
      parts:
        pump: {role: store, name: pump drive, leaves_in: {mains: 5 min}}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - wait: 5 min
        until: {gauge: tester, reads: 0 V}
        discharge: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/discharged-live",
    page=__doc__,
    of_proof=True,
    message="The {part} is discharged while {energies} still feeds it.",
    help="Isolate it first: what is fed fills up again.",
)
