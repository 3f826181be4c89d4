"""Energy is brought under control in the order of the profile, in every order of the steps.

Why: A lock that comes after the energy was let out guards nothing while it is let out: someone may turn the
supply on again. A pump whose inlet is shut while it runs runs dry. Each phase leans on the ones before it.

Source: 29 CFR 1910.147(d)(2) to (d)(6): shut down, isolate, lock, relieve, verify, and only then work. The
practice of NFPA 70E 120.5 (2018), as told in a trade journal, releases stored energy before the lock:
profile `us_electrical` leaves these two free. Profile `eu_machinery` asks besides that a plug
that cannot be seen from every point of access is locked: Regulation (EU) 2023/1230, Annex III 1.6.3.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
      - vent: drain
      - lock: [inlet_valve, plug]
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing

Good::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
      - lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("energy/order-of-control", page=__doc__, level=Level.WARNING)
