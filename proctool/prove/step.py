"""One step done: its needs, its acts in the order written, what is asked after each, what it makes true."""

from __future__ import annotations

from proctool.model.plan import Step
from proctool.model.span import Span
from proctool.prove.acts import EFFECTS
from proctool.prove.after import after_act
from proctool.prove.charge import settle
from proctool.prove.report import Done, Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.words import holds


def do_step(
    setup: Setup, state: State, step: Step, passed: bool | None, moved: set[Span] | None = None
) -> Done:
    """The state after a step, and every rule it broke.

    `passed` is None for a step that cannot fail. Needs are asked before the acts; nothing comes between acts.
    To `moved` are added the places of the acts that changed the state.
    """
    reports = [
        Report("graph/need-unmet", need.name)
        for need in step.needs
        if not holds(setup, state, need.name, need.word)
    ]
    for act in step.acts:
        done, broken = EFFECTS[act.verb](setup, state, act, passed is not False)
        done = settle(setup, done)
        reports += broken
        reports += after_act(setup, state, done, act)
        if moved is not None and done != state:
            moved.add(act.span)
        state = done
    if passed is not False and step.makes:
        values = list(state.conditions)
        for name, value in step.makes:
            values[setup.conditions[name]] = setup.plan.conditions[name].index(value)
        state = state._replace(conditions=tuple(values))
    return state, reports
