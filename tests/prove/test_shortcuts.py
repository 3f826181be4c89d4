"""Every shortcut of the exploration held against the plain walk, which takes none: the same answer in all.

The plans are random, with branches side by side and checks that lead on, back and out (`free_plans`). What is
compared is the whole answer: each breach with its energies and its trace, the worst charges after each step,
which acts changed anything, how many orders there are and whether they end alike. Only the number of pairs
may differ. `SEEDS=5000 pytest tests/prove/test_shortcuts.py` tries as many as one likes.
"""

import os
import tracemalloc
from collections import deque
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations

import pytest

from benchmarks import families
from benchmarks import proof as measures
from proctool.model.finding import Move
from proctool.model.plan import Frame
from proctool.network.reach import bits
from proctool.prove import apart as apart_module
from proctool.prove import prove, replay
from proctool.prove.acts import EFFECTS
from proctool.prove.apart import Apart, every_of
from proctool.prove.bounds import bounds
from proctool.prove.charge import settle
from proctool.prove.frames import Frames, Run
from proctool.prove.orders import Groups
from proctool.prove.setup import Setup
from proctool.prove.shortcuts import ALL, PLAIN, Shortcuts
from proctool.prove.state import State
from proctool.prove.step import do_step
from proctool.prove.things import View
from proctool.prove.touch import Touch
from proctool.prove.touch_acts import ACTS
from proctool.prove.words import begin
from tests.prove.free_plans import free_plan

SEEDS = int(os.environ.get("SEEDS", "120"))
CHUNK = 25
BUDGET = 3000
"""For the plain walk; with more freedom than that there is nothing to compare with."""

ONE_BY_ONE = [Shortcuts(numbered=True, apart=False), Shortcuts(numbered=False, apart=True)]


def answer(proof):
    """All that must be the same."""
    return replace(proof, states=0)


def differs(plan, shortcuts=ALL):
    """What is not as the plain walk has it; empty where that is too long."""
    off = prove(plan, budget=BUDGET, shortcuts=PLAIN)
    if not off.explored:
        return ""
    on = prove(plan, budget=BUDGET, shortcuts=shortcuts)
    fields = [name for name in off.__dataclass_fields__ if name != "states"]
    found = [name for name in fields if getattr(on, name) != getattr(off, name)]
    if on.states > off.states:
        found.append("more pairs")
    return ", ".join(found)


class TestOnAgainstOff:
    @pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
    def test_the_answer_is_the_same(self, first):
        found = {seed: said for seed in range(first, first + CHUNK) if (said := differs(free_plan(seed)))}
        assert found == {}

    @pytest.mark.parametrize("first", range(1_000_000, 1_000_000 + SEEDS // 4, CHUNK))
    def test_with_longer_branches(self, first):
        found = {seed: said for seed in range(first, first + CHUNK) if (said := differs(free_plan(seed, 4)))}
        assert found == {}

    @pytest.mark.parametrize("shortcuts", ONE_BY_ONE)
    def test_each_by_itself(self, shortcuts):
        seeds = range(2_000_000, 2_000_000 + SEEDS // 4)
        assert {seed: said for seed in seeds if (said := differs(free_plan(seed), shortcuts))} == {}

    def test_without_taking_apart_the_pairs_are_the_same_too(self):
        for seed in range(40):
            plan = free_plan(seed)
            assert prove(plan, shortcuts=ONE_BY_ONE[0]) == prove(plan, shortcuts=PLAIN), seed

    def test_the_plans_hold_what_shortcuts_are_for(self):
        """Else agreement would say little."""
        fewer = breached = failed = 0
        for seed in range(100):
            plan = free_plan(seed)
            off, on = prove(plan, budget=BUDGET, shortcuts=PLAIN), prove(plan, budget=BUDGET)
            fewer += off.explored and on.states < off.states
            breached += bool(on.breaches)
            failed += any(move.passed is False for breach in on.breaches for move in breach.trace)
        assert fewer > 20
        assert breached > 60
        assert failed > 30

    def test_every_trace_can_be_walked_and_shows_its_breach(self):
        for seed in range(40):
            plan = free_plan(seed)
            for breach in prove(plan, budget=BUDGET).breaches:
                reports = replay(plan, breach.trace).reports
                told = {(step, report.rule, report.part) for step, report in reports}
                assert (breach.step, breach.rule, breach.part) in told, seed


class TestBudget:
    """What the plain walk settles within a budget is settled; what is found so far is what it has found."""

    @pytest.mark.parametrize("budget", [1, 5, 20, 60])
    def test_a_budget_that_ends_first(self, budget):
        for seed in range(60):
            plan = free_plan(seed)
            off = prove(plan, budget=budget, shortcuts=PLAIN)
            on = prove(plan, budget=budget)
            if off.explored or not on.explored:
                assert answer(on) == answer(off), seed

    def test_true_interference_ends_unproven(self):
        proof = prove(families.unvented(6), budget=3000)
        assert not proof.explored
        assert proof.fork is None

    def test_memory_is_bounded_by_the_budget(self):
        plan = families.unvented(8)
        tracemalloc.start()
        try:
            prove(plan, budget=3000)
            _, peak = tracemalloc.get_traced_memory()
        finally:
            tracemalloc.stop()
        assert peak < 30_000_000


class TestIndependence:
    """Steps of different branches change places at every pair that the plain walk meets."""

    @pytest.mark.parametrize("first", range(0, SEEDS // 2, CHUNK))
    def test_the_order_of_two_makes_no_difference(self, first):
        for seed in range(first, first + CHUNK):
            for one, other in diamonds(free_plan(seed)):
                assert one == other, seed

    def test_there_are_such_pairs(self):
        assert sum(1 for seed in range(30) for _ in diamonds(free_plan(seed))) > 200


@dataclass(frozen=True)
class Met:
    """A pair that the plain walk meets, and how the group under way was entered."""

    stack: tuple
    state: State
    group: int
    parting: tuple
    entry: State


def pairs(setup, frames, apart, most=600):
    """The pairs that the plain walk meets, each with the branches of its group as the group was entered."""
    queue: deque[Met] = deque()
    seen: set[Met] = set()

    def arrive(onward, state, before):
        for end in onward:
            if isinstance(end, Run):
                group = apart.group(end.stack)
                same = before is not None and before.group == group
                parting = before.parting if same else apart.entered(group, state)
                met = Met(end.stack, state, group, parting, before.entry if same else state)
                if met not in seen and len(seen) < most:
                    seen.add(met)
                    queue.append(met)

    arrive(frames.start(), settle(setup, begin(setup)), None)
    while queue:
        met = queue.popleft()
        yield met
        for place, step, passed in moves(frames, met.stack):
            now, _ = do_step(setup, met.state, step, passed)
            arrive(frames.after(met.stack, place, passed), now, met)


def moves(frames, stack):
    for place, step in frames.enabled(stack):
        for passed in (True, False) if step.may_fail else (None,):
            yield place, step, passed


def diamonds(plan):
    """For each two moves of different branches: what they report and lead to, in both orders."""
    setup, frames = Setup(plan), Frames(plan.frame)

    def both(state, first, second):
        between, told = do_step(setup, state, *first)
        end, more = do_step(setup, between, *second)
        return end, {first[0].id: set(told), second[0].id: set(more)}

    for met in pairs(setup, frames, Apart(setup, plan.frame)):
        if met.parting and len(met.stack) == 1:
            for (i, *one), (j, *other) in combinations(moves(frames, met.stack), 2):
                if i != j and not any(b >> i & 1 and b >> j & 1 for b in met.parting):
                    yield both(met.state, one, other), both(met.state, other, one)


@pytest.mark.parametrize("first", range(0, SEEDS // 4, CHUNK))
def test_bounds_hold_for_all_that_a_group_leads_to(first):
    for seed in range(first, first + CHUNK):
        plan = free_plan(seed)
        setup, frames = Setup(plan), Frames(plan.frame)
        groups = Groups(plan.frame)
        known = {}
        for met in pairs(setup, frames, Apart(setup, plan.frame), most=200):
            key = met.group, met.entry
            if key not in known:
                steps = [s for i in bits(groups.steps[met.group]) for s in every_of(plan.frame.steps[i])]
                known[key] = bounds(setup, met.entry, steps)
            assert known[key].hold(met.state), seed


# What a careless hand might leave out of what a step reads and writes. Each must show in some plan.
@contextmanager
def without_reads(verb):
    kept = ACTS[verb]
    ACTS[verb] = lambda view, act: (0, kept(view, act)[1])
    try:
        yield
    finally:
        ACTS[verb] = kept


@contextmanager
def without_writes(verb):
    kept = ACTS[verb]
    ACTS[verb] = lambda view, act: (kept(view, act)[0], 0)
    try:
        yield
    finally:
        ACTS[verb] = kept


FAULTS = {
    "questions after each act": (Touch, "_questions", lambda touch: iter(())),
    "the question at a stop": (Touch, "stop", lambda touch: 0),
    "what charges follow from": (Touch, "_following", lambda touch: iter(())),
    "needs": (Touch, "_need", lambda touch, name: 0),
    "makes": (View, "condition", lambda view, place: 0),
    "whether a part is secured": (View, "security_of", lambda view, carrier, place: 0),
    "charges": (View, "charge_of", lambda view, carrier, place: 0),
    "proofs": (View, "proof_of", lambda view, carrier, place: 0),
    "what a check undoes": (apart_module, "undone_by", lambda step: 0),
    "steps of an otherwise": (apart_module, "every_of", lambda step: (step,)),
    "that a failing check may stop the job": (apart_module, "may_stop", lambda step: False),
}


@cache
def known(seed):
    """A plan, and the answer of the plain walk; None where that is long."""
    plan = free_plan(seed)
    off = prove(plan, budget=300, shortcuts=PLAIN)
    return (plan, off) if off.explored else None


def shows():
    """Whether some plan is answered otherwise than by the plain walk, or not at all."""
    for seed in range(5000, 6500):
        if known(seed) is not None:
            plan, off = known(seed)
            try:
                if answer(prove(plan)) != answer(off):
                    return True
            except KeyError:  # a breach that was found is not found again
                return True
    return False


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_in_what_is_read_shows(fault, monkeypatch):
    monkeypatch.setattr(*FAULTS[fault])
    assert shows()


@pytest.mark.parametrize("verb", ["lock", "verify_zero", "open", "leak_check"])
def test_an_act_that_is_said_to_read_nothing_shows(verb):
    with without_reads(verb):
        assert shows()


@pytest.mark.parametrize("verb", ["isolate", "lock", "vent", "shut", "open", "close", "verify_zero"])
def test_an_act_that_is_said_to_write_nothing_shows(verb):
    with without_writes(verb):
        assert shows()


def test_every_act_is_known_to_both_tables():
    assert set(ACTS) == set(EFFECTS)


class TestPairs:
    """How many pairs the families of the benchmarks take. Their times are for `make bench`."""

    @pytest.mark.parametrize("family", [families.vented, families.valves])
    @pytest.mark.parametrize("branches", [2, 4, 8])
    def test_branches_of_their_own_are_walked_apart(self, family, branches):
        proof = prove(family(branches))
        assert proof.explored
        assert proof.states <= 1000

    @pytest.mark.parametrize("family", [families.vented, families.valves, families.loose])
    def test_two_branches_as_the_plain_walk_has_them(self, family):
        plan = family(2)
        assert answer(prove(plan)) == answer(prove(plan, shortcuts=PLAIN))

    def test_one_step_after_the_other_takes_a_pair_for_each(self):
        assert [prove(families.series(n)).states for n in (50, 100, 200)] == [50, 100, 200]

    def test_a_breach_in_the_last_of_eight_branches_has_its_shortest_trace(self):
        """Opened before it is verified: three steps in, whatever the other seven do."""
        plan = families.vented(8)
        steps = list(plan.frame.steps)
        place = next(
            i
            for i, step in enumerate(steps)
            if any(a == ("open", "housing7") for a in ((act.verb, act.part) for act in step.acts))
        )
        steps[place - 1] = replace(steps[place - 1], acts=())
        proof = prove(replace(plan, frame=Frame(tuple(steps), plan.frame.before)))
        assert [(b.rule, b.step) for b in proof.breaches] == [("energy/opened-unproven", steps[place].id)]
        cut = [Move(step.id, None) for step in steps[:2]]
        mine = [Move(step.id, None) for step in steps[place - 1 : place + 1]]
        assert proof.breaches[0].trace == (*cut, *mine)
        assert proof.states <= 1000


class TestMeasures:
    """What the benchmark works out from what it measures."""

    def test_slope_of_a_power(self):
        assert measures.slope([(n, 3.0 * n**1.5) for n in (50, 100, 400)]) == pytest.approx(1.5)

    def test_a_row_says_what_the_plain_walk_takes(self):
        run = measures.run("vented 2", families.vented(2), 1)
        assert run.proof.states == 38
        assert run.megabytes < 5
        row = measures.rows([run], 1000)[-1]
        assert "| settled | 0 | 38 | 128 |" in row
        assert "| over 100 |" in measures.rows([run], 100)[-1]

    def test_families_are_the_same_each_time(self):
        for name, family in families.FAMILIES.items():
            size = 20 if name in {"series", "almost_free"} else 3
            assert family(size, 5) == family(size, 5)
