"""Ask the solver about a flat problem."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import clingo

from .encode import Problem, facts, problem

Finding = tuple[str, str | None, str | None]  # rule, step, part
RULES = Path(__file__).with_name("proof.lp")


class NotSettledError(RuntimeError):
    """The solver did not come to an end in the time it was given."""


def violations(unit: Mapping[str, Any], procedure: Mapping[str, Any], seconds: float = 60) -> set[Finding]:
    """All (rule, step, part) that any order breaks; raises NotSettledError, NotFlatError."""
    return violations_of(problem(unit, procedure), seconds)


def reaches(unit: Mapping[str, Any], procedure: Mapping[str, Any], seconds: float = 60) -> bool:
    """Whether any order breaks any rule; raises NotSettledError, NotFlatError."""
    return reaches_any(problem(unit, procedure), seconds)


def violations_of(asked: Problem, seconds: float = 60) -> set[Finding]:
    """All (rule, step, part) that any order of the problem breaks: what holds in some answer set."""
    control = _grounded(asked, "--enum-mode=brave", "--models=0")
    found: set[Finding] = set()

    def note(model: clingo.Model) -> None:  # a brave search makes each model hold those before it
        found.update(_finding(symbol) for symbol in model.symbols(shown=True))

    with control.solve(async_=True, on_model=note) as handle:
        if not _has_order(handle, seconds):
            raise ValueError("no order of the steps is possible")
    return found


def reaches_any(asked: Problem, seconds: float = 60) -> bool:
    """Whether any order of the problem breaks any rule."""
    control = _grounded(asked)
    control.assign_external(clingo.Function("must_break"), True)
    with control.solve(async_=True) as handle:
        return _has_order(handle, seconds)


def _grounded(asked: Problem, *options: str) -> clingo.Control:
    control = clingo.Control([*options, "--configuration=jumpy", "--warn=no-atom-undefined"])
    control.load(str(RULES))
    control.add("base", [], facts(asked))
    control.ground([("base", [])])
    return control


def _has_order(handle: clingo.SolveHandle, seconds: float) -> bool:
    if not handle.wait(seconds):
        handle.cancel()
        raise NotSettledError(f"not settled after {seconds:g} s")
    return bool(handle.get().satisfiable)


def _finding(symbol: clingo.Symbol) -> Finding:
    rule, step, part = (argument.string for argument in symbol.arguments)
    return rule, step or None, part or None
