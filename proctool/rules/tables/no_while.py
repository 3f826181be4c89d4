"""A due table says under what condition its readings mean something.

Why: A clogged cartridge shows only while water flows. At rest the gauges before and behind it read the same,
the table is never reached, and the work is never due.

Source: common practice, no source.

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        answer: {pressure: {is: 3.0 bar, gauge: gauge, round: up to 0.1 bar}}
        guard: true
        due_when: {pressure: or_less}

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: the tap is fully open and the pump runs
        answer: {pressure: {is: 3.0 bar, gauge: gauge, round: up to 0.1 bar}}
        guard: true
        due_when: {pressure: or_less}
"""

from proctool.rules.rule import Rule

RULE = Rule("tables/no-while", page=__doc__)
