"""All orders at once: breadth first over pairs of (done steps, state), branches one after the other.

Two runs that have done the same steps and left the unit in the same state have the same future, so the pairs
stand for all linear extensions of the order. Branches that share nothing with each other are not walked in
every mixture (`apart`, which argues that no breach is lost). What then has to be put together from the
branches is: the shortest traces (`shortest`), the worst charges (`worst`), and whether all orders end alike
(`confluence`). Where no group has branches of its own this is the plain walk, in the same order.

The walk ends early only when more pairs are met than the budget allows. Then the plain walk has the last
word: whatever it settles within the budget is settled, and what it found so far is what is shown.
"""

from __future__ import annotations

from functools import reduce

from proctool.model.plan import Plan
from proctool.model.verdict import DEFAULT_BUDGET, Breach, Charge, Fork, Proof
from proctool.prove.confluence import fork
from proctool.prove.course import Course, Key, Node, Onward
from proctool.prove.effects import Effects, Number
from proctool.prove.orders import count_orders
from proctool.prove.plain import prove_plainly
from proctool.prove.report import Report
from proctool.prove.shortcuts import ALL, PLAIN, Shortcuts
from proctool.prove.shortest import Shortest, order
from proctool.prove.sweep import Link, SpentError, Way, sweep
from proctool.prove.worst import Seen, charges, mixed, shown, worse


def prove_breaches(plan: Plan, effects: Effects, *, budget: int) -> tuple[tuple[Breach, ...], bool]:
    """Every breach as `prove` gives them, and whether all was explored; for many plans that are much alike.

    `effects` are those of any of the plans: they may differ in their lists of steps alone.
    """
    exploration = _Exploration(plan, Course(plan, budget, ALL, effects))
    try:
        return exploration.breaches(exploration.ways()), True
    except SpentError:
        proof = prove_plainly(plan, budget=budget)
        return proof.breaches, proof.explored


def prove(plan: Plan, *, budget: int = DEFAULT_BUDGET, shortcuts: Shortcuts = ALL) -> Proof:
    """Explore every order of a plan and both outcomes of every check.

    Returns every breach with a shortest trace. `Proof.explored` is False where the budget ended first. The
    answer is the same with and without shortcuts, but for `Proof.states`, and but for plans that can be
    explored within the budget with them only.
    Cost: pairs times steps that may come next; a step's effect on a state is worked out once.
    """
    if shortcuts == PLAIN:
        return prove_plainly(plan, budget=budget)
    exploration = _Exploration(plan, Course(plan, budget, shortcuts))
    try:
        return exploration.proof()
    except SpentError as spent:
        if exploration.entries:
            return prove_plainly(plan, budget=budget)
        return exploration.unproven(spent.found)


class _Exploration:
    """One exploration."""

    def __init__(self, plan: Plan, course: Course) -> None:
        self.plan, self.course = plan, course
        self.after: dict[str, set[Number]] = {}
        """For each step the states that it was seen to lead to."""
        self.reports: set[tuple[str | None, Report]] = set()
        self.entries: dict[Node, None] = {}
        """Pairs in which a group of several branches is entered, in the order met."""

    def proof(self) -> Proof:
        """The whole answer. Raises SpentError."""
        found = self.ways()
        between = mixed(self.course, self.entries) if self.entries else {}
        forked = fork(self.course.setup, self.plan.frame, self.course.apart)
        return self._proof(found, between, forked, explored=True)

    def unproven(self, found: dict[Key, Way]) -> Proof:
        """What was found until the budget was spent."""
        return self._proof(found, {}, None, explored=False)

    def ways(self) -> dict[Key, Way]:
        """The shortest way to each breach. Raises SpentError."""
        start = self.course.start()
        found = {
            (report.rule, step, report.part): Way(None, None, (0, False, 0), number)
            for number, (step, report) in reversed([*enumerate(start.reports)])
        }
        self._enter(start)
        self.reports.update(start.reports)
        found |= sweep(self.course, [Link(node) for node in start.nodes], watch=self._watch)
        if self.entries:
            shortest = Shortest(self.course, self.plan.frame, (node.parting for node in self.entries))
            found = shortest.ways(found)
        return found

    def breaches(self, found: dict[Key, Way]) -> tuple[Breach, ...]:
        """The breaches with their energies, shortest trace first."""
        energies: dict[Key, set[str]] = {}
        for step, report in self.reports:
            energies.setdefault((report.rule, step, report.part), set()).add(report.energy or "")
        return tuple(
            Breach(rule, step, part, tuple(sorted(energies[rule, step, part] - {""})), way.moves())
            for (rule, step, part), way in sorted(found.items(), key=lambda item: order(item[1]))
        )

    def _proof(
        self, found: dict[Key, Way], between: dict[str, Seen], fork: Fork | None, *, explored: bool
    ) -> Proof:
        worst = {step: self._worst(step, between.get(step)) for step in self.after}
        course = self.course
        orders = count_orders(self.plan.frame)
        breaches = self.breaches(found)
        return Proof(breaches, explored, course.pairs, orders, worst, frozenset(course.moved), fork)

    def _worst(self, step: str, between: Seen | None) -> dict[tuple[str, str], Charge]:
        seen = reduce(worse, (charges(self.course.state(number)) for number in self.after[step]), between)
        return shown(self.course.setup, seen or ())

    def _watch(self, node: Node, step: str, onward: Onward) -> None:
        self.after.setdefault(step, set()).add(onward.state)
        self.reports.update(onward.reports)
        self._enter(onward, node)

    def _enter(self, onward: Onward, before: Node | None = None) -> None:
        for node in onward.nodes:
            if node.parting and (before is None or before.parting is not node.parting):
                self.entries.setdefault(node)
