"""House rules can be kept together.

Why: Where one rule asks for what another forbids, no procedure can keep both. People learn to pass over both.

Source: common practice, no source. What can be kept is worked out as a least fixed point over all that can be
done on the units of the library.

Bad::

    library:
      house_rules:
        - id: drain-first
          say: Open the drain before the plug is pulled.
          before: {act: isolate, device: plug}
          first: {act: vent}
        - id: plug-first
          say: Pull the plug before the drain is opened.
          before: {act: vent}
          first: {act: isolate, device: plug}
    steps:
      - stop: pump

Good::

    library:
      house_rules:
        - id: plug-first
          say: Pull the plug before the drain is opened.
          before: {act: vent}
          first: {act: isolate, device: plug}
    steps:
      - stop: pump
"""

from proctool.rules.rule import Rule

RULE = Rule("house/contradiction", page=__doc__)
