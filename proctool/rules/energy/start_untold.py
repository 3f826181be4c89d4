"""After locks come off, affected people are told before anything starts.

Why: With the last lock gone nothing but words keeps hands out of the machine.

Source: 29 CFR 1910.147(e)(2)(ii): after removal of the devices and before a machine is started, affected
employees are notified.

Bad::

    steps:
      - unlock: plug
      - restore: plug
      - start: pump
      - do: Tell the crew that the pump runs.
        tell: crew

Good::

    steps:
      - unlock: plug
      - restore: plug
      - do: Tell the crew that the pump starts.
        tell: crew
      - start: pump
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("energy/start-untold", page=__doc__, level=Level.WARNING)
