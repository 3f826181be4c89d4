"""The limit of a due table is moved by the error of its gauges.

Why: A gauge that shows a little too much hides that the limit is reached. At the bare limit every second
reading may be on the wrong side; moved by the error of the gauges, the table never calls late.

Source: ILAC-G8:09/2019 on guard bands (pages read); a band as wide as the whole error is the usual choice
(from memory).

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: 3.0 bar, gauge: gauge, round: up to 0.1 bar}}
        due_when: {pressure: or_less}

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        answer: {pressure: {is: 3.0 bar, gauge: gauge, round: up to 0.1 bar}}
        guard: true
        due_when: {pressure: or_less}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("tables/unguarded", page=__doc__, level=Level.WARNING)
