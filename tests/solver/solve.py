"""Ask the solver about a flat problem.

A search may give up after a number of conflicts: a count, never a time, so that the answer does not depend on
the machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import clingo

from .encode import Problem, facts, problem

Finding = tuple[str, str | None, str | None]  # rule, step, part
RULES = [Path(__file__).with_name(name) for name in ("state.lp", "proof.lp")]
CONFLICTS = 100_000


class NotSettledError(RuntimeError):
    """The solver gave up before it came to an end; ``found`` is what it had found."""

    def __init__(self, conflicts: int, found: set[Finding]) -> None:
        super().__init__(f"not settled after {conflicts} conflicts, {len(found)} findings so far")
        self.found = found


def violations(
    unit: Mapping[str, Any], procedure: Mapping[str, Any], conflicts: int = CONFLICTS
) -> set[Finding]:
    """All (rule, step, part) that any order breaks; raises NotSettledError, NotFlatError."""
    return violations_of(problem(unit, procedure), conflicts)


def reaches(unit: Mapping[str, Any], procedure: Mapping[str, Any], conflicts: int = CONFLICTS) -> bool:
    """Whether any order breaks any rule; raises NotSettledError, NotFlatError."""
    return reaches_any(problem(unit, procedure), conflicts)


def violations_of(asked: Problem, conflicts: int = CONFLICTS) -> set[Finding]:
    """All (rule, step, part) that any order of the problem breaks: what holds in some answer set."""
    control = _grounded(asked, conflicts, "--enum-mode=brave", "--models=0")
    found: set[Finding] = set()

    def note(model: clingo.Model) -> None:  # a brave search makes each model hold those before it
        found.update(_finding(symbol) for symbol in model.symbols(shown=True))

    result = control.solve(on_model=note)
    if not result.exhausted:
        raise NotSettledError(conflicts, found)
    if not result.satisfiable:
        raise ValueError("no order of the steps is possible")
    return found


def reaches_any(asked: Problem, conflicts: int = CONFLICTS) -> bool:
    """Whether any order of the problem breaks any rule; stops at the first that does."""
    control = _grounded(asked, conflicts)
    control.assign_external(clingo.Function("must_break"), True)
    result = control.solve()
    if result.satisfiable is None:
        raise NotSettledError(conflicts, set())
    return result.satisfiable


def _grounded(asked: Problem, conflicts: int, *options: str) -> clingo.Control:
    control = clingo.Control(
        [*options, "--configuration=jumpy", f"--solve-limit={conflicts}", "--warn=no-atom-undefined"]
    )
    for file in RULES:
        control.load(str(file))
    control.add("base", [], facts(asked))
    control.ground([("base", [])])
    return control


def _finding(symbol: clingo.Symbol) -> Finding:
    rule, step, part = (argument.string for argument in symbol.arguments)
    return rule, step or None, part or None
