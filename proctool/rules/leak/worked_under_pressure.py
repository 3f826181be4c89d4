"""No joint is tightened, loosened or adjusted while there is pressure in it.

Why: A joint that leaks is a joint that is failing. One more turn can strip the thread or lift the seal, and
the housing comes off at the person who holds the wrench. First relieve it, then turn it.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - do: If drops come, tighten the <housing> a little more.
        tighten: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing        # the valve is shut and the drain is open
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - check: No drop comes out at the <housing>.
        leak_check: housing
        for: 1 min
        otherwise:
          steps:
            - use: make-safe
            - tighten: housing
          end_here: Leave the locks on and call for help.
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/worked-under-pressure",
    page=__doc__,
    of_proof=True,
    message="A joint of the {part} is worked on with {energies} in it.",
    help="Isolate and relieve the part first; never tighten under pressure.",
)
