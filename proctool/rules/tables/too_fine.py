"""No column goes in steps that are finer than its gauge can be read.

Why: Between two marks people guess, and each guesses otherwise. A limit of 2.65 bar on a dial with a mark
every 0.1 bar is 2.6 bar for one and 2.7 bar for the next.

Source: common practice, no source.

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: supply * 60 %, gauge: gauge, round: up to 0.05 bar}}
        fixed: {supply: 4.0 bar}
        guard: true
        due_when: {pressure: or_less}

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: supply * 60 %, gauge: gauge, round: up to 0.1 bar}}
        fixed: {supply: 4.0 bar}
        guard: true
        due_when: {pressure: or_less}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("tables/too-fine", page=__doc__, level=Level.WARNING)
