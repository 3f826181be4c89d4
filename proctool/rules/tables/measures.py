"""A formula gives what its column shows, and a column is told in the measure of its dial.

Why: A quarter of a pressure is not a pressure less a quarter. A formula whose measures do not agree gives a
number that means nothing, and a number that must be converted at the dial is arithmetic in the field again.

Source: NIST SP 811 for the measures (read in agreeing copies); common practice for the rest, no source.

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: supply - drop, gauge: gauge, round: up to 0.1 bar}}
        fixed: {supply: 4.0 bar, drop: 25 %}
        guard: true
        due_when: {pressure: or_less}

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: supply * (1 - drop), gauge: gauge, round: up to 0.1 bar}}
        fixed: {supply: 4.0 bar, drop: 25 %}
        guard: true
        due_when: {pressure: or_less}
"""

from proctool.rules.rule import Rule

# A never-rule, since a table whose measures do not agree cannot be worked out and would be left out unsaid.
RULE = Rule("tables/measures", page=__doc__, never=True)
