"""A part that was opened or loosened is tight before energy comes back to it, and at the end.

Why: A cover that is laid on and not screwed on is no cover: it falls off beside a running belt or a live
terminal, and the next person does not know that it is loose. Before a fluid comes back `leak/not-tightened`
asks the same.

Source: 29 CFR 1910.147(e)(1): before energy comes back it is seen that the machine's components are intact.
That a part with a torque, or with an end one can see, is turned to it is common practice, no source.

Bad::

    unit:
      parts:
        pump: {tighten: until both screw heads touch the cover}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - do: Take the cover off the <pump>.
        open: pump
      - do: Put the cover on the <pump>.
        close: pump
      - unlock: plug
      - restore: plug
      - tighten: pump

Good::

    unit:
      parts:
        pump: {tighten: until both screw heads touch the cover}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - do: Take the cover off the <pump>.
        open: pump
      - do: Put the cover on the <pump>.
        close: pump
      - tighten: pump
      - unlock: plug
      - restore: plug
"""

from proctool.rules.rule import Rule

RULE = Rule("energy/closed-loose", page=__doc__)
