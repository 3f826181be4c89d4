"""A row typed by hand is what the formula gives, rounded.

Why: A table outlives the sum it came from. A slip in one row is found in no other way than by working it out
again: the New York City plumbing code (312.5) prints 150 psi as 1033 kPa, which is 1034. Here 30 % off 65
psi is 45.5 psi; rounded down to 45 psi, the cartridge is changed late.

Source: common practice, no source. The figures of the code were read; 30 % is a rule of thumb of the trade.

Bad::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when the gauge behind it reads this or less
        while: water runs at normal flow
        readings: {before: {title: Gauge before the cartridge}}
        answer: {behind: {title: Gauge behind it, is: before * (1 - drop), round: up to 1 psi}}
        fixed: {drop: 30 %}
        due_when: {behind: or_less}
        typed: [[65 psi, 45 psi], [70 psi, 49 psi], [75 psi, 53 psi]]

Good::

    due: [{table: change_point}]
    tables:
      change_point:
        title: Change the cartridge when the gauge behind it reads this or less
        while: water runs at normal flow
        readings: {before: {title: Gauge before the cartridge}}
        answer: {behind: {title: Gauge behind it, is: before * (1 - drop), round: up to 1 psi}}
        fixed: {drop: 30 %}
        due_when: {behind: or_less}
        typed: [[65 psi, 46 psi], [70 psi, 49 psi], [75 psi, 53 psi]]
"""

from proctool.rules.rule import Rule

RULE = Rule("tables/row-off", page=__doc__)
