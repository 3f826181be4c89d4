"""Answers are rounded to the safe side, and stay between their least and their most.

Why: A wait that is rounded down is too short, and a limit that is rounded away from the work calls for it
late. To the nearest step is right for half of the rows only. Where nothing says which side is safe, nobody
who checks the table can know.

Source: common practice, no source. Rounding only once, from the exact value, is ISO 80000-1 Annex B (from
memory).

Bad::

    tables:
      contact:
        title: How long the disinfectant stands
        readings: {water: {rows: 5 to 25 °C by 5 Δ°C}}
        answer: {time: {is: 20 min * 2 ** ((20 °C - water) / 10 Δ°C), round: nearest 5 min, safe_side: high}}

Good::

    tables:
      contact:
        title: How long the disinfectant stands
        readings: {water: {rows: 5 to 25 °C by 5 Δ°C}}
        answer: {time: {is: 20 min * 2 ** ((20 °C - water) / 10 Δ°C), round: up to 5 min, safe_side: high}}
"""

from proctool.rules.rule import Rule

RULE = Rule("tables/unsafe-side", page=__doc__)
