"""One step done: its needs, its acts in the order written, what is asked after each, what it makes true."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proctool.model.plan import Act, Step
from proctool.model.span import Span
from proctool.prove.acts import EFFECTS
from proctool.prove.after import after_act
from proctool.prove.charge import settle
from proctool.prove.report import Done, Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.words import holds


class Acted(NamedTuple):
    """One act as it went, with all that it broke."""

    act: Act
    before: State
    after: State
    reports: list[Report]


def do_act(setup: Setup, state: State, act: Act, passed: bool | None) -> Acted:
    """An act on a state, and what is asked after it."""
    done, reports = EFFECTS[act.verb](setup, state, act, passed is not False)
    done = settle(setup, done)
    return Acted(act, state, done, [*reports, *after_act(setup, state, done, act)])


def acted(setup: Setup, state: State, step: Step, passed: bool | None) -> Iterator[Acted]:
    """The acts of a step, one after the other."""
    for act in step.acts:
        done = do_act(setup, state, act, passed)
        yield done
        state = done.after


def unmet(setup: Setup, state: State, step: Step) -> list[Report]:
    """The needs of a step that do not hold before its acts."""
    return [
        Report("graph/need-unmet", need.name)
        for need in step.needs
        if not holds(setup, state, need.name, need.word)
    ]


def do_step(
    setup: Setup, state: State, step: Step, passed: bool | None, moved: set[Span] | None = None
) -> Done:
    """The state after a step, and every rule it broke.

    `passed` is None for a step that cannot fail. Needs are asked before the acts; nothing comes between acts.
    To `moved` are added the places of the acts that changed the state.
    """
    reports = unmet(setup, state, step)
    for act, before, after, broken in acted(setup, state, step, passed):
        reports += broken
        if moved is not None and after != before:
            moved.add(act.span)
        state = after
    if passed is not False and step.makes:
        values = list(state.conditions)
        for name, value in step.makes:
            values[setup.conditions[name]] = setup.plan.conditions[name].index(value)
        state = state._replace(conditions=tuple(values))
    return state, reports
