"""A house rule speaks of something that can be done on some unit of the library.

Why: A rule that matches nothing is never broken. Whoever wrote it believes that it guards the work.

Source: common practice, no source. The forms of house rules are from Dwyer, Avrunin and Corbett (ICSE 1999).

Bad::

    library:
      house_rules:
        - id: earth-first
          say: Earth the part before it is opened.
          before: {act: open, role: source}       # no one can open a source
          first: {act: discharge}

Good::

    library:
      house_rules:
        - id: earth-first
          say: Verify zero before a part is opened.
          before: {act: open, role: component}
          first: {act: verify_zero}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("house/idle", page=__doc__, level=Level.WARNING)
