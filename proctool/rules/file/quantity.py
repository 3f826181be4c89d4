"""Every quantity can be read, and its unit is one that proctool knows.

Why: A slip in a unit is a slip in a force: `20 Nmm` for `20 N·m` leaves a joint loose. What cannot be read
cannot be converted, rounded or compared with a gauge.

Source: NIST SP 811 for the conversions (read in agreeing copies); common practice for what is refused, no
source.

Bad::

    unit:
      parts:
        housing: {tighten: 20 Nwm}

Good::

    unit:
      parts:
        housing: {tighten: 20 N·m}
"""

from proctool.rules.rule import Rule

RULE = Rule("file/quantity", page=__doc__, never=True)
