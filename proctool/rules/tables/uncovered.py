"""The rows span all that their gauge usually shows.

Why: Beyond the last row a technician goes on by feel, and few things go on in a straight line. Low supply
pressure is just when flushing takes longest.

Source: common practice, no source.

Bad::

    tables:
      flushing:
        title: How long to flush the new cartridge
        readings: {supply: {gauge: gauge, rows: 3.0 to 6.0 bar by 0.5 bar}}
        answer: {time: {is: 2 min * sqrt(4 bar / supply), round: up to 10 s, safe_side: high}}

Good::

    tables:
      flushing:
        title: How long to flush the new cartridge
        readings: {supply: {gauge: gauge, rows: 2.0 to 6.0 bar by 0.5 bar}}
        answer: {time: {is: 2 min * sqrt(4 bar / supply), round: up to 10 s, safe_side: high}}
"""

from proctool.rules.rule import Rule

RULE = Rule("tables/uncovered", page=__doc__)
