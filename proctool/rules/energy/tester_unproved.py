"""A portable voltage tester is tried on a known live source before and after it shows zero.

Why: A tester with an empty battery shows zero everywhere. Tried before, it worked; tried after, and before
anything is opened on the strength of it, it still did. Once work has begun or the voltage was back, the next
measurement needs a new trial before it.

Source: NFPA 70E 120.5 (2018), as told in a trade journal: live, dead, live. 29 CFR 1910.333(b)(2)(iv)(B),
read in summaries only: the check is mandatory above 600 V.

Bad::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - check: The <tester> reads 0 V at the <pump>.
        verify_zero: {part: pump, by: tester}
        otherwise: {end_here: Leave the lock on. Call for help.}

Good::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - check: The <tester> shows the voltage of a live socket.
        id: before
        prove_tester: tester
        otherwise: {end_here: Leave the lock on. Send the tester for repair.}
      - check: The <tester> reads 0 V at the <pump>.
        verify_zero: {part: pump, by: tester}
        otherwise: {end_here: Leave the lock on. Call for help.}
      - check: The <tester> still shows the voltage of a live socket.
        id: after
        prove_tester: tester
        otherwise: {end_here: Leave the lock on. Send the tester for repair.}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("energy/tester-unproved", page=__doc__, level=Level.WARNING)
