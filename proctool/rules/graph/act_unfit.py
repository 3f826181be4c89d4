"""An act fits what it is done to.

Why: A lock on a pump's switch, a valve throttled that only opens and shuts: what a part cannot do must not
count as done.

Source: 29 CFR 1910.147(b): push buttons, selector switches and other control devices are no energy isolating
devices.

Bad::

    steps:
      - stop: pump
        lock: pump

Good::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
"""

from proctool.rules.rule import Rule

RULE = Rule("graph/act-unfit", page=__doc__, never=True)
