"""Under lockout every isolator that is moved to hold energy back is locked before anything is opened.

Why: A plug that lies on the floor invites the next person to put it in, also where it feeds nothing that is
opened here: a timer that turns a valve over, a second feed. The proof asks for the locks that hold energy
from the opened part; this asks for those of everything that was shut off for the work.

Source: 29 CFR 1910.147(d)(4)(i): a lockout device is put on each energy isolating device.

Bad::

    steps:
      - stop: pump
      - isolate: plug
      - isolate: inlet_valve
        lock: inlet_valve
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
    unit:
      parts:
        housing: {near: []}

Good::

    steps:
      - stop: pump
      - isolate: [plug, inlet_valve]
        lock: [plug, inlet_valve]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
    unit:
      parts:
        housing: {near: []}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("energy/isolated-unlocked", page=__doc__, level=Level.WARNING)
