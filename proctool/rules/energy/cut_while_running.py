"""A machine is stopped by its own control before its energy is cut.

Why: A plug that is pulled under load draws an arc, a pump that loses its power stops wherever it happens to
be, and a machine that is left switched on starts by itself when the energy comes back.

Source: 29 CFR 1910.147(d)(2) and (d)(3): an orderly shutdown comes before the isolating devices are operated.

Bad::

    steps:
      - do: Pull the <plug> and put it in its cover.
        isolate: plug
        lock: plug
      - stop: pump

Good::

    steps:
      - do: Stop the <pump> with its own switch.
        stop: pump
      - do: Pull the <plug> and put it in its cover.
        isolate: plug
        lock: plug
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule(
    "energy/cut-while-running",
    page=__doc__,
    level=Level.WARNING,
    of_proof=True,
    message="{energies} is cut while the {part} runs.",
    help="Stop the machine before its energy is cut.",
)
