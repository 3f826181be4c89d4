"""The orders of a procedure: which step may come next, and what a failed check leads to.

Nothing here knows the state of the unit: the course of a procedure depends on its text alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from .plant import listed

# fmt: off
VERBS = [
    "isolate", "throttle", "connect", "restore", "lock", "unlock", "vent", "shut", "discharge", "dose",
    "flush", "verify_zero", "open", "uncover", "cover", "inspect_seal", "new_seal", "close", "leak_check",
    "bleed", "stop", "start", "try_start", "tighten", "loosen", "adjust", "prove_tester", "tell", "fit",
    "remove", "clean", "lubricate"]
# fmt: on

Act = tuple[str, Any]


@dataclass(eq=False)
class Plan:
    """A list of steps with what comes before each: the main list, or that of an otherwise or then."""

    steps: list[Step] = field(default_factory=list)
    before: dict[str, set[str]] = field(default_factory=dict)  # path -> every path that comes first

    def ready(self, done: frozenset[str]) -> list[Step]:
        """The steps that may come next."""
        return [s for s in self.steps if s.path not in done and self.before[s.path] <= done]


@dataclass(eq=False)
class Scope:
    """The names of one written list, and the list around it."""

    plan: Plan
    outer: Scope | None
    entries: dict[str, set[str]] = field(default_factory=dict)  # id -> paths of its steps

    def find(self, name: str) -> tuple[Plan, set[str]]:
        """The plan and the steps that ``back_to: name`` means."""
        scope: Scope | None = self
        while scope is not None:
            if name in scope.entries:
                return scope.plan, scope.entries[name]
            scope = scope.outer
        raise KeyError(f"no step or group {name!r} to go back to")


@dataclass(eq=False)
class Recovery:
    """An ``otherwise`` or ``then``: its steps and its ending."""

    plan: Plan
    ending: str  # continue, back_to, end_here
    target: str = ""
    scope: Scope | None = None
    then: Recovery | None = None


@dataclass(eq=False)
class Step:
    """A step as the walker takes it."""

    path: str
    acts: list[Act]
    needs: list[tuple[str, str]]
    makes: dict[str, str]
    once: bool
    may_fail: bool
    recovery: Recovery = field(default_factory=lambda: Recovery(Plan(), "end_here"))


class Level(NamedTuple):
    """A list under way: what of it is done, and for an otherwise the check that failed."""

    plan: Plan
    done: frozenset[str]
    check: Step | None
    recovery: Recovery | None


class Place(NamedTuple):
    """Where a walk stands: the lists under way, innermost last, and how often each check failed."""

    levels: tuple[Level, ...]
    failures: frozenset[tuple[str, int]]


class Move(NamedTuple):
    """One thing that may happen next: ``step``, ``go`` (nothing is done), ``end_here`` or ``end``."""

    kind: str
    step: Step | None
    failed: bool
    place: Place | None


class Course:
    """A procedure, read into plans."""

    def __init__(self, unit: dict[str, Any], procedure: dict[str, Any], max_failures: int = 2) -> None:
        self.gauges = {p for p, d in unit["parts"].items() if d["role"] == "gauge" and "usual" in d}
        self.max_failures = max_failures
        self.main = Plan()
        self._read_list(procedure["steps"], "", self.main, None, set(), None, False)

    # -- reading -------------------------------------------------------------------------------------

    def _read_list(
        self,
        entries: list[dict[str, Any]],
        prefix: str,
        plan: Plan,
        outer: Scope | None,
        before: set[str],
        fallback: tuple[dict[str, Any], Scope] | None,
        free: bool,
    ) -> set[str]:
        scope = Scope(plan, outer)
        first: dict[str, set[str]] = {}  # id -> paths of all that comes before the entry
        paths: set[str] = set()
        for entry in entries:
            named = listed(entry["after"]) if "after" in entry else [] if free else list(first)
            ahead = set(before)
            for name in named:
                ahead |= first[name] | scope.entries[name]
            name = entry["id"]
            first[name] = ahead
            own = (entry["otherwise"], scope) if "otherwise" in entry else fallback
            if "steps" in entry or "any_order" in entry:
                loose = "any_order" in entry
                inner = entry["any_order"] if loose else entry["steps"]
                scope.entries[name] = set()
                scope.entries[name] |= self._read_list(
                    inner, f"{prefix}{name}/", plan, scope, ahead, own, loose
                )
            else:
                step = self._read_step(entry, prefix + name)
                plan.steps.append(step)
                plan.before[step.path] = ahead
                scope.entries[name] = {step.path}
                if step.may_fail and own is not None:
                    step.recovery = self._read_recovery(own[0], own[1], step.path, "otherwise")
            paths |= scope.entries[name]
        return paths

    def _read_recovery(self, said: dict[str, Any], scope: Scope, path: str, word: str) -> Recovery:
        plan = Plan()
        self._read_list(said.get("steps") or [], f"{path}/{word}/", plan, scope, set(), None, False)
        if "back_to" not in said:
            return Recovery(plan, "continue" if said.get("continue") == "true" else "end_here")
        then = None
        if "then" in said:
            then = self._read_recovery(
                said["then"], scope, path, "then" if word == "otherwise" else f"{word}/then"
            )
        return Recovery(plan, "back_to", said["back_to"], scope, then)

    def _read_step(self, entry: dict[str, Any], path: str) -> Step:
        needs = [(key, word) for key, words in entry.get("needs", {}).items() for word in listed(words)]
        return Step(
            path,
            _acts(entry),
            needs,
            dict(entry.get("makes", {})),
            entry.get("once") == "true",
            self.may_fail(entry),
        )

    def may_fail(self, entry: dict[str, Any]) -> bool:
        """Whether a written step can fail: checks, and readings that are judged."""
        if "check" in entry:
            return True
        if "read" in entry:
            what = entry["read"]
            if isinstance(what, dict):
                return "within" in what
            return "within" in entry or what in self.gauges
        if "do" in entry or "wait" in entry:
            return False
        verbs = {verb for verb, _ in _acts(entry)}
        return bool(verbs) and verbs <= {"verify_zero", "leak_check"}

    # -- walking -------------------------------------------------------------------------------------

    def start(self) -> Place:
        """Before the first step."""
        return Place((Level(self.main, frozenset(), None, None),), frozenset())

    def moves(self, place: Place) -> list[Move]:
        """All that may happen next; empty only if the order of the steps is impossible."""
        top = place.levels[-1]
        if len(top.done) == len(top.plan.steps):
            return self._complete(place)
        moves = []
        for step in top.plan.ready(top.done):
            moves.append(Move("step", step, False, self._mark_done(place, step)))
            fallen = dict(place.failures).get(step.path, 0)
            if step.may_fail and fallen < self.max_failures:
                counted = frozenset({**dict(place.failures), step.path: fallen + 1}.items())
                level = Level(step.recovery.plan, frozenset(), step, step.recovery)
                moves.append(Move("step", step, True, Place((*place.levels, level), counted)))
        return moves

    def _complete(self, place: Place) -> list[Move]:
        """The innermost list is done."""
        *below, top = place.levels
        if top.recovery is None or top.check is None:
            return [Move("end", None, False, None)]
        outside = Place(tuple(below), place.failures)
        if top.recovery.ending == "end_here":
            return [Move("end_here", top.check, True, None)]
        if top.recovery.ending == "continue":
            return [Move("go", None, False, self._mark_done(outside, top.check))]
        moves = [Move("go", None, False, self._go_back(outside, top.recovery))]
        if top.recovery.then is not None:
            level = Level(top.recovery.then.plan, frozenset(), top.check, top.recovery.then)
            moves.append(Move("go", None, False, Place((*below, level), place.failures)))
        return moves

    @staticmethod
    def _mark_done(place: Place, step: Step) -> Place:
        *below, top = place.levels
        return Place((*below, top._replace(done=top.done | {step.path})), place.failures)

    @staticmethod
    def _go_back(place: Place, recovery: Recovery) -> Place:
        """Undo the target and all that follows it, but never a ``once`` step."""
        assert recovery.scope is not None
        plan, target = recovery.scope.find(recovery.target)
        levels = list(place.levels)
        while levels[-1].plan is not plan:
            levels.pop()
        undone = {
            s.path for s in plan.steps if not s.once and (s.path in target or plan.before[s.path] & target)
        }
        levels[-1] = levels[-1]._replace(done=levels[-1].done - undone)
        return Place(tuple(levels), place.failures)

    # -- counting ------------------------------------------------------------------------------------

    def count_walks(self) -> int:
        """How many walks there are, failures included (each place is counted once and remembered)."""
        known: dict[Place, int] = {}

        def count(place: Place) -> int:
            if place not in known:
                known[place] = sum(1 if m.place is None else count(m.place) for m in self.moves(place))
            return known[place]

        return count(self.start())

    def count_orders(self) -> int:
        """How many orders the main list has, counted one by one."""

        def count(done: frozenset[str]) -> int:
            if len(done) == len(self.main.steps):
                return 1
            return sum(count(done | {s.path}) for s in self.main.ready(done))

        return count(frozenset())


def _acts(entry: dict[str, Any]) -> list[Act]:
    """The acts of a written step, one for each part, in the order written."""
    acts: list[Act] = []
    for said in entry.get("acts", [entry]):
        for verb, what in said.items():
            if verb in VERBS:
                acts += [(verb, each) for each in what] if isinstance(what, list) else [(verb, what)]
    return acts


def count_orders(procedure: dict[str, Any]) -> int:
    """The number of linear extensions of a procedure's main list."""
    return Course({"parts": {}}, procedure).count_orders()


def count_walks(unit: dict[str, Any], procedure: dict[str, Any], max_failures: int = 2) -> int:
    """The number of walks, each check failing up to ``max_failures`` times."""
    return Course(unit, procedure, max_failures).count_walks()
