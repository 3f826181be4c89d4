"""House rules the naive way: every run of a plan one by one, and each rule held against the whole run.

Written from what the file format says of house rules, with no automaton: a rule is looked up and down the row
of moments of a finished run. Checks fail at most twice each.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from proctool.model.plan import Act, BackTo, Continue, EndHere, Frame, Plan, Step

Run = tuple[tuple[Step, bool | None], ...]

UNDOES = {
    ("isolate", "restore"),
    ("isolate", "connect"),
    ("isolate", "throttle"),
    ("restore", "isolate"),
    ("lock", "unlock"),
    ("unlock", "lock"),
    ("open", "close"),
    ("close", "open"),
    ("start", "stop"),
    ("stop", "start"),
    ("vent", "shut"),
    ("shut", "vent"),
}


@dataclass
class Moment:
    place: int
    """Which move of the run it belongs to."""
    act: Act | None
    made: set[str]
    passed: bool | None
    before: dict[str, str]
    """Conditions before its step."""
    now: dict[str, str]


def runs(plan: Plan, failures: int = 2) -> Iterator[tuple[Run, bool]]:
    """Every run to an end or a stop, and whether it is the end of the procedure."""
    yield from _from(plan, [[plan.frame, 0, None, 0]], (), {}, failures)


def _from(
    plan: Plan, stack: list[list[Any]], run: Run, failed: dict[str, int], failures: int
) -> Iterator[tuple[Run, bool]]:
    frame, done, otherwise, _ = stack[-1]
    if done == (1 << len(frame.steps)) - 1:
        if otherwise is None:
            yield run, True
            return
        below = [list(level) for level in stack[:-1]]
        ending = otherwise.ending
        if isinstance(ending, EndHere):
            yield run, False
        elif isinstance(ending, Continue):
            below[-1][1] |= stack[-1][3]
            yield from _from(plan, below, run, failed, failures)
        else:
            assert isinstance(ending, BackTo)
            if ending.then is not None:
                then = [*(list(level) for level in below), [ending.then.frame, 0, ending.then, stack[-1][3]]]
                yield from _from(plan, then, run, failed, failures)
            kept = below[: len(below) - ending.levels]
            kept[-1][1] &= ~_again(kept[-1][0], ending.undone)
            yield from _from(plan, kept, run, failed, failures)
        return
    for i, step in enumerate(frame.steps):
        if done >> i & 1 or frame.before[i] & ~done:
            continue
        passed = True if step.otherwise is not None else None
        after = [*(list(level) for level in stack[:-1]), [frame, done | 1 << i, otherwise, stack[-1][3]]]
        yield from _from(plan, after, (*run, (step, passed)), failed, failures)
        if step.otherwise is not None and failed.get(step.id, 0) < failures:
            above = [*(list(level) for level in stack), [step.otherwise.frame, 0, step.otherwise, 1 << i]]
            more = {**failed, step.id: failed.get(step.id, 0) + 1}
            yield from _from(plan, above, (*run, (step, False)), more, failures)


def _again(frame: Frame, undone: int) -> int:
    return sum(1 << i for i, step in enumerate(frame.steps) if undone >> i & 1 and not step.once)


def moments(plan: Plan, run: Run) -> list[Moment]:
    now = {name: values[0] for name, values in plan.conditions.items()}
    found = []
    for place, (step, passed) in enumerate(run):
        before = dict(now)
        found += [Moment(place, act, set(), passed, before, before) for act in step.acts]
        if step.makes and passed is not False:
            now = {**now, **dict(step.makes)}
            found.append(Moment(place, None, {name for name, _ in step.makes}, passed, before, now))
    return found


def fits(plan: Plan, matcher: dict[str, Any], moment: Moment) -> bool:
    about_acts = {k: v for k, v in matcher.items() if k not in plan.conditions}
    if any(moment.now[k] not in _words(v) for k, v in matcher.items() if k in plan.conditions):
        return False
    if not about_acts:
        return bool(moment.made & set(matcher))
    return moment.act is not None and all(_is(plan, k, v, moment.act) for k, v in about_acts.items())


def _is(plan: Plan, key: str, value: Any, act: Act) -> bool:
    part = plan.unit.parts.get(act.part)
    if key == "act":
        back = act.verb == "connect" and part is not None and part.text("normal") in {None, "open"}
        return act.verb == value or (value == "restore" and back)
    if part is None:
        return False
    energies = {e for line in plan.unit.lines.values() if part.id in line.path for e in line.energies}
    has: dict[str, set[str]] = {
        "part": {part.id, part.tag or ""},
        "tag": {part.tag or ""},
        "role": {part.role.value},
        "device": {part.device.value if part.device else ""},
        "carries": energies | {plan.unit.energies[e].form.value for e in energies},
    }
    return bool(_words(value) & has[key])


def _words(value: Any) -> set[str]:
    return set(value) if isinstance(value, list) else {value}


def broken(plan: Plan, rule: dict[str, Any], run: Run, whole: bool) -> set[tuple[str | None, int]]:
    """Where a rule is broken in a run: the step, or None at the end, and how many moves were done by then."""
    row = moments(plan, run)

    def at(moment: Moment) -> tuple[str | None, int]:
        return run[moment.place][0].id, moment.place + 1

    if "before" in rule:
        return {
            at(m)
            for i, m in enumerate(row)
            if fits(plan, rule["before"], m)
            and not all(_first(plan, one, row, i) for one in _each_part(plan, rule["first"]))
        }
    if "after" in rule:
        owed = any(
            fits(plan, rule["after"], m)
            and not all(
                any(later.passed is not False and fits(plan, one, later) for later in row[i + 1 :])
                for one in _each_part(plan, rule["must"])
            )
            for i, m in enumerate(row)
        )
        return {(None, len(run))} if whole and owed else set()
    scope = [_inside(plan, rule, row[:i]) for i in range(len(row) + 1)]
    if any(key not in plan.conditions for key in rule["never"]):
        return {at(m) for i, m in enumerate(row) if scope[i] and fits(plan, rule["never"], m)}
    holds = [all(m.now[k] in _words(v) for k, v in rule["never"].items()) for m in row]
    return {at(m) for i, m in enumerate(row) if scope[i + 1] and holds[i]}


def _inside(plan: Plan, rule: dict[str, Any], past: list[Moment]) -> bool:
    """Whether the scope stands open after these moments."""
    if "between" not in rule:
        return True
    if not past:
        return False
    opens, closes = rule["between"]
    last = past[-1]
    if _inside(plan, rule, past[:-1]):
        return last.passed is False or not fits(plan, closes, last)
    return fits(plan, opens, last)


def _first(plan: Plan, first: dict[str, Any], row: list[Moment], i: int) -> bool:
    """Whether `first` stands at moment `i`."""
    conditions = {k: v for k, v in first.items() if k in plan.conditions}
    for now in (row[i].now, row[i].before):
        if any(now[k] not in _words(v) for k, v in conditions.items()):
            return False
    if conditions == first:
        return True
    for j in range(i + 1):
        if row[j].passed is False or not fits(plan, first, row[j]):
            continue
        done = row[j].act
        assert done is not None
        later = [m.act for m in row[j + 1 : i + 1] if m.act is not None and m.act.part == done.part]
        if not any((first.get("act"), act.verb) in UNDOES for act in later):
            return True
    return False


def _each_part(plan: Plan, matcher: dict[str, Any]) -> list[dict[str, Any]]:
    """Every part of a list is asked for, of those that the unit has."""
    if "part" not in matcher:
        return [matcher]
    here = {part.id for part in plan.unit.parts.values()} | {part.tag for part in plan.unit.parts.values()}
    return [{**matcher, "part": part} for part in sorted(_words(matcher["part"])) if part in here]


def expected(plan: Plan, rule: dict[str, Any]) -> dict[str | None, int]:
    """For each step at which some run breaks the rule the fewest moves that show it."""
    found: dict[str | None, int] = {}
    for run, whole in runs(plan):
        for step, moves in broken(plan, rule, run, whole):
            found[step] = min(moves, found.get(step, moves))
    return found
