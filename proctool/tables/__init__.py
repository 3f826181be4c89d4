"""Formula to rows: the tables of a procedure for one unit, exact, with what the gauges leave open.

`compute` works out one table, `due_answer` says what a pair of readings means, `checks` what is wrong.
"""

from proctool.tables.bands import due_answer
from proctool.tables.compute import compute

__all__ = ["compute", "due_answer"]
