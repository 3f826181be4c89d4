"""The gauges of a due table are fine enough to tell its limit from a sound unit.

Why: Each gauge has an error. Where their errors together are as large as what the limit asks for, the table
calls for work on a sound unit, or never calls at all; printing it gives the look of an answer.

Source: ASME B40.100 for the divisions of a graded gauge, at most twice the error of its middle half (second
hand). That a limit must stand clear of the error of the gauges is common practice, no source.

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        readings: {before: {gauge: pump_gauge, rows: 2.0 to 6.0 bar by 0.5 bar}}
        answer: {behind: {is: before * (1 - drop), gauge: gauge, round: up to 0.1 bar}}
        fixed: {drop: 5 %}
        guard: true
        due_when: {behind: or_less}
    unit:
      parts:
        pump_gauge: {role: gauge, name: pump gauge, tag: P2, at: pump, energy: water, span: 10 bar,
          accuracy: 1.6 %, division: 0.1 bar, usual: 2.0 to 6.0 bar}

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when P1 reads this or less
        while: water runs at normal flow
        readings: {before: {gauge: pump_gauge, rows: 2.0 to 6.0 bar by 0.5 bar}}
        answer: {behind: {is: before * (1 - drop), gauge: gauge, round: up to 0.02 bar}}
        fixed: {drop: 5 %}
        guard: true
        due_when: {behind: or_less}
    unit:
      parts:
        pump_gauge: {role: gauge, name: pump gauge, tag: P2, at: pump, energy: water, span: 10 bar,
          accuracy: 0.25 %, division: 0.02 bar, usual: 2.0 to 6.0 bar}
        gauge: {accuracy: 0.25 %, division: 0.02 bar}
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("tables/gauge-too-coarse", page=__doc__, level=Level.WARNING)
