"""A vent on a line that also carries heat is opened only when what it lets out is cool, or where it is piped away.

Why: Pressure and heat leave in different ways. A vent relieves the pressure at once, but what comes out of it is
as hot as before and scalds the hand that opened it; only time takes the heat away.

Source: Common practice, no source. 29 CFR 1910.147(d)(5)(i) asks that stored energy be relieved or otherwise made
safe; its Appendix A names water pressure and steam, and bleeding down, but not the heat of what is bled.

Bad::

    unit: &heater
      energies:
        heat: {form: heat, normal: 80 °C, safe: 40 °C}
    steps: []

Good::

    steps: []
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/vented-hot",
    page=__doc__,
    message="The {part} is opened while {energies} is in what it lets out.",
    help="Let it cool first and end the wait by a reading, or pipe the vent away and say `piped: true`.",
)
