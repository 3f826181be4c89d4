"""The coverage matrix: planted gaps, runs replayed one by one, and the walker of tests/oracle."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.api import Library, open_library
from proctool.draft.coverage.coverage import coverage
from proctool.draft.coverage.evidence import Barriers
from proctool.model.coverage import Aspect, Coverage, Deed, Mark
from proctool.model.finding import Move
from proctool.model.plan import Act, BackTo, Plan, Step, every_step
from proctool.model.verdict import DEFAULT_BUDGET, Charge
from proctool.model.words import Role
from proctool.network.reach import bits
from proctool.prove.after import origins
from proctool.prove.charge import charge, settle
from proctool.prove.frames import Frames, Run
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.step import acted, do_step
from proctool.prove.words import begin
from tests.cli.plant import FILES
from tests.network.random_unit import random_unit
from tests.oracle.cases import case
from tests.oracle.text import files
from tests.oracle.walker import walk
from tests.prove.machines import BESIDE_TANK

DEMO = Path(__file__).parents[2] / "procedures"


def small(*changes: tuple[str, str]) -> Plan:
    """The plan of the small filter, with changes to its procedure or its block."""
    texts = dict(FILES)
    for old, new in changes:
        (name,) = [n for n in ("change-filter.yaml", "blocks/make-safe.yaml") if old in texts[n]]
        assert texts[name].count(old) == 1
        texts[name] = texts[name].replace(old, new)
    (found,) = Library.from_texts(texts).cases(procedure="change-filter", unit="F-1")
    assert found.plan is not None, [f.message for f in found.findings]
    return found.plan


def covered(plan: Plan | None) -> Coverage:
    assert plan is not None
    return coverage(plan, budget=DEFAULT_BUDGET)


def by(plan: Plan, aspect: Aspect) -> list[tuple[str | None, str]]:
    (row,) = covered(plan).rows
    return [(deed.step, deed.part) for deed in row.cell(aspect).by]


# ---------------------------------------------------------------------------- a worked case


def test_each_aspect_with_its_steps_and_devices():
    plan = small()
    again = "leaks/otherwise/make-safe"
    assert by(plan, Aspect.ISOLATED) == [("make-safe/inlet/isolate-device", "inlet")]
    assert by(plan, Aspect.SECURED) == [("make-safe/inlet/isolate-device", "inlet")]
    assert by(plan, Aspect.RELIEVED) == [("make-safe/button/vent-way_out", "button")]
    assert by(plan, Aspect.VERIFIED) == [("make-safe/first/verify_zero-part", "gauge")]
    assert by(plan, Aspect.RESTORED) == [
        ("screw-on", "first"),
        ("shut-off", "button"),
        ("lock-off", "inlet"),
        ("supply", "inlet"),
    ]
    assert by(plan, Aspect.LEAK_CHECKED) == [("leaks", "first")]
    (row,) = covered(plan).rows
    assert [cell.mark for cell in row.cells] == [Mark.YES] * 6
    assert (row.part, row.energy, row.exposed_by) == ("first", "water", ("unscrew-first",))
    assert row.run[-1] == Move("unscrew-first", None)
    assert not any(move.step.startswith(again) for move in row.run)


LOCK_OFF = "  - do: Take your lock off the <inlet>.\n    id: lock-off\n    unlock: inlet\n"
VERIFY = "      - verify_zero: part\n        otherwise: {end_here: Leave the locks on. Call us.}\n"
GAPS = {
    "not isolated": (
        ("      - isolate: device\n        lock: device\n", "      - do: Look at the <device>.\n"),
        "isolated secured relieved verified leak-checked",
        Mark.NO,
    ),
    "not locked": (("        lock: device\n", ""), "secured", Mark.NO),
    "not vented": (
        ("      - vent: way_out\n", "      - do: Look at the <way_out>.\n"),
        "relieved verified",
        Mark.NO,
    ),
    "not verified": ((VERIFY, "      - do: Look at the <part>.\n"), "verified", Mark.NO),
    "vent left open": (
        ("  - do: Shut the <button>.\n    id: shut-off\n    shut: button\n", ""),
        "restored leak-checked",
        Mark.NO,
    ),
    "valve left part open": (
        ("  - do: Open the <inlet> fully.\n    id: supply\n    restore: inlet\n", ""),
        "restored leak-checked",
        Mark.NO,
    ),
    "lock left": ((LOCK_OFF, ""), "restored", Mark.NO),
    "not leak-checked": (("    leak_check: first\n", ""), "leak-checked", Mark.NO),
    "opened too early in some orders": (
        (
            "  - use: make-safe\n  - do: Unscrew",
            "  - {use: make-safe, id: safe}\n  - after: []\n    do: Unscrew",
        ),
        "isolated secured relieved verified",
        Mark.SOMETIMES,
    ),
}


@pytest.mark.parametrize("damage", GAPS)
def test_a_planted_gap_is_a_gap_in_its_own_aspects_and_no_other(damage):
    change, aspects, mark = GAPS[damage]
    (row,) = covered(small(change)).rows
    assert {cell.aspect.value for cell in row.gaps} == set(aspects.split())
    assert row.gaps[0].mark is mark
    for cell in row.gaps:
        assert cell.why and cell.trace


def test_a_lock_taken_off_too_early_leaves_the_part_unsecured():
    ring = "  - check: The O-ring has no cut."
    early = (ring, f"  - {{unlock: inlet, id: early}}\n{ring}")
    (row,) = covered(small(early, (LOCK_OFF, ""))).rows
    (gap,) = row.gaps
    assert (gap.aspect, gap.mark, gap.trace[-1].step) == (Aspect.SECURED, Mark.SOMETIMES, "early")


def test_a_full_tank_joined_to_an_opening_is_a_gap_in_isolation():
    """It empties there at once, so that no charge shows it."""
    plan = BESIDE_TANK.move("id: join", before="close: housing").plan()
    (row,) = covered(plan).rows
    cell = row.cell(Aspect.ISOLATED)
    assert (cell.mark, cell.trace[-1].step) == (Mark.SOMETIMES, "join")
    assert cell.why == "what is full is joined to it while it stands open"


def test_what_cannot_be_walked_whole_is_unknown():
    found = coverage(small(), budget=3)
    assert not found.walked
    assert {cell.mark for row in found.rows for cell in row.cells} == {Mark.UNKNOWN}
    assert all(row.gaps for row in found.rows)


def test_an_excuse_is_on_word_and_says_whose():
    (found,) = open_library(DEMO.parent / "household").cases()
    (row,) = covered(found.plan).rows
    assert row.cell(Aspect.SECURED).mark is Mark.WORD
    assert row.cell(Aspect.SECURED).why == "exclusive control of the mains plug X1"


def test_the_demonstration_has_no_gap_and_every_exposed_part_has_its_rows():
    for found in open_library(DEMO).cases():
        rows = covered(found.plan).rows
        assert [row for row in rows if row.gaps] == []
        unit = found.plan.unit
        wanted = {
            (act.part, energy)
            for step in every_step(found.plan.frame)
            for act in step.acts
            if act.verb == "open"
            for line in unit.lines.values()
            if act.part in line.path
            for energy in line.energies
        }
        assert {(row.part, row.energy) for row in rows if row.beside is None} >= wanted
        assert len({(row.part, row.energy, row.beside) for row in rows}) == len(rows)


# ---------------------------------------------------------------------------- against plain replays


@cache
def plan_of(seed: int) -> Plan | None:
    cases = [*Library.from_texts(files(*case(seed))).cases()]
    return cases[0].plan if cases else None


@dataclass(slots=True)
class Told:
    """What one run, replayed act by act, tells of a row: its charge and who set what when it opened."""

    charges: list[Charge] = field(default_factory=list)
    by: dict[Aspect, set[Deed]] = field(default_factory=dict)


class Chooser:
    """Takes one of several, and can be told to go through all ways of taking them."""

    def __init__(self, rng: random.Random | None = None) -> None:
        self.rng = rng
        self.taken: list[tuple[int, int]] = []
        self.place = 0

    def of(self, many: int) -> int:
        if self.rng is not None:
            return self.rng.randrange(many)
        if self.place == len(self.taken):
            self.taken.append((0, many))
        self.place += 1
        return self.taken[self.place - 1][0]

    def another(self) -> bool:
        """The next way of taking them; False where all are gone through."""
        self.place = 0
        while self.taken:
            taken, many = self.taken.pop()
            if taken + 1 < many:
                self.taken.append((taken + 1, many))
                return True
        return False


def told_by(plan: Plan, chooser: Chooser, most: int = 60) -> dict[tuple[str, str], Told]:
    """One run to its end or `most` steps, and what it tells of each part that it opens."""
    setup, frames = Setup(plan), Frames(plan.frame)
    state = settle(setup, begin(setup))
    onward = frames.start()
    last: dict[tuple[str, str, str], str | None] = {}
    told: dict[tuple[str, str], Told] = {}
    for _ in range(most):
        stacks = [on.stack for on in onward if isinstance(on, Run)]
        if not stacks:
            break
        stack = stacks[chooser.of(len(stacks))]
        enabled = list(frames.enabled(stack))
        place, step = enabled[chooser.of(len(enabled))]
        passed = chooser.of(3) > 0 if step.may_fail and chooser.rng else None
        if step.may_fail and not chooser.rng:
            passed = chooser.of(2) > 0
        for done in acted(setup, state, step, passed):
            if done.act.verb in {"open", "uncover"}:
                _look(setup, done.before, done.act, last, told)
            _remember(setup, done.before, done.after, step.id, last)
            word = {"isolate": "off", "lock": "locked"}.get(done.act.verb)
            if word is not None and passed is not False:
                last.setdefault((word, "", done.act.part), step.id)  # confirmed as it was found
        state, _ = do_step(setup, state, step, passed)
        onward = frames.after(stack, place, passed)
    return told


def _remember(setup: Setup, before: State, after: State, step: str, last: dict) -> None:
    for name in ("off", "throttled", "locked", "vented", "opened"):
        for i in bits(getattr(before, name) ^ getattr(after, name)):
            last["off" if name == "throttled" else name, "", setup.network.ids[i]] = step
    for name in ("proven", "discharged"):
        for carrier in setup.carriers:
            for i in bits(getattr(before, name)[carrier.index] ^ getattr(after, name)[carrier.index]):
                last[name, carrier.id, setup.network.ids[i]] = step


def _look(setup: Setup, state: State, act: Act, last: dict, told: dict) -> None:
    net = setup.network
    place = net.place[act.part]
    barriers = Barriers(setup)
    for carrier in setup.of_part[place]:
        if act.verb == "uncover" and carrier not in setup.electric:
            continue
        row = told.setdefault((act.part, carrier.id), Told())
        between = net.names(barriers.of(state, place, carrier))
        row.by.setdefault(Aspect.ISOLATED, set()).update((last.get(("off", "", n)), n) for n in between)
        locked = (n for n in between if state.locked >> net.place[n] & 1)
        row.by.setdefault(Aspect.SECURED, set()).update((last.get(("locked", "", n)), n) for n in locked)
        if act.verb == "open":
            row.charges.append(charge(setup, state, place, carrier))
            if state.proven[carrier.index] >> place & 1:
                row.by.setdefault(Aspect.VERIFIED, set()).add((last["proven", carrier.id, act.part], None))


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 5_000), st.randoms(use_true_random=False))
def test_what_a_run_tells_is_in_the_matrix(seed, rng):
    """Charges at the opening, and whoever last set each barrier, each lock and each proof there."""
    plan = plan_of(seed)
    if plan is None:
        return
    rows = {(row.part, row.energy): row for row in covered(plan).rows if row.beside is None}
    for key, told in told_by(plan, Chooser(rng)).items():
        row = rows[key]
        if Charge.LIVE in told.charges:
            assert row.cell(Aspect.ISOLATED).mark.gap
        if set(told.charges) - {Charge.ZERO}:
            assert row.cell(Aspect.RELIEVED).mark.gap
        if Charge.ZERO in told.charges:
            assert row.cell(Aspect.RELIEVED).mark is not Mark.NO
        for aspect, deeds in told.by.items():
            cell = row.cell(aspect)
            named = {(deed.step, deed.part if aspect is not Aspect.VERIFIED else None) for deed in cell.by}
            assert deeds <= named, (key, aspect)


def test_every_step_named_is_the_last_to_set_it_on_some_run():
    """All runs one by one, of the cases that have few."""
    settled = 0
    for seed in range(40):
        plan = plan_of(seed)
        if plan is None or any(_leads_back(step) for step in every_step(plan.frame)):
            continue
        chooser, runs = Chooser(), 0
        seen: dict[tuple[tuple[str, str], Aspect], set] = {}
        while runs < 200:
            runs += 1
            for key, told in told_by(plan, chooser).items():
                for aspect, deeds in told.by.items():
                    seen.setdefault((key, aspect), set()).update(deeds)
            if not chooser.another():
                break
        else:
            continue
        settled += 1
        for row in covered(plan).rows:
            for aspect in (Aspect.ISOLATED, Aspect.SECURED) if row.beside is None else ():
                named = {(deed.step, deed.part) for deed in row.cell(aspect).by}
                assert named == seen.get(((row.part, row.energy), aspect), set()), (seed, row, aspect)
    assert settled >= 5


def _leads_back(step: Step) -> bool:
    return step.otherwise is not None and isinstance(step.otherwise.ending, BackTo)


def test_of_free_steps_each_that_may_be_the_last_is_named_and_no_other():
    """Two steps in free order shut the same valve: either may be the one that did it."""
    once = """\
  - each: {device: {isolators_of: opens}}
    steps:
      - isolate: device
        lock: device
"""
    twice = """\
  - any_order:
      - {do: Close the <inlet>., id: one, isolate: inlet}
      - {do: Close the <inlet>., id: other, isolate: inlet}
  - {id: key, lock: inlet}
  - {id: more, lock: inlet}
"""
    plan = small((once, twice))
    assert by(plan, Aspect.ISOLATED) == [("make-safe/one", "inlet"), ("make-safe/other", "inlet")]
    assert by(plan, Aspect.SECURED) == [("make-safe/key", "inlet")]


# ---------------------------------------------------------------------------- against the walker


SAYS = {
    Aspect.ISOLATED: {
        "energy/opened-live",
        "energy/uncovered-live",
        "energy/energised-open",
        "energy/isolation-too-thin",
    },
    Aspect.RELIEVED: {"energy/opened-live", "energy/opened-charged", "energy/energised-open"},
    Aspect.VERIFIED: {"energy/opened-live", "energy/opened-charged", "energy/opened-unproven"},
}
"""What the walker must have found on a part that has a gap there."""
MEANS = {
    "energy/opened-live": {Aspect.ISOLATED},
    "energy/uncovered-live": {Aspect.ISOLATED},
    "energy/energised-open": {Aspect.ISOLATED, Aspect.RELIEVED},
    "energy/opened-charged": {Aspect.RELIEVED},
    "energy/opened-unproven": {Aspect.VERIFIED},
    "energy/opened-unlocked": {Aspect.SECURED},
    "energy/isolation-too-thin": {Aspect.ISOLATED},
    "energy/left-unlocked": {Aspect.RESTORED},
    "graph/end-unsafe": {Aspect.SECURED, Aspect.LEAK_CHECKED},
    "leak/left-open": {Aspect.RESTORED},
}
"""A gap in one of these is what a finding of the walker means on the part that it names."""


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_gaps_are_those_of_walking_every_order(first):
    for seed in range(first, first + 20):
        plan = plan_of(seed)
        if plan is None or plan.starts:
            continue
        rows = covered(plan).rows
        told = {(rule, part) for rule, _, part in walk(*case(seed))}
        gaps = {(row.part, cell.aspect) for row in rows if row.beside is None for cell in row.gaps}
        for part, aspect in gaps:
            if aspect in SAYS:
                assert told & {(rule, part) for rule in SAYS[aspect]}, (seed, part, aspect)
        beside = {row.part for row in rows if row.beside is not None and row.gaps}
        for rule, named in told:
            if rule in MEANS:
                assert {(named, aspect) for aspect in MEANS[rule]} & gaps, (seed, rule, named)
            if rule == "energy/wet-near-live":
                assert named in beside, (seed, named)


# ---------------------------------------------------------------------------- barriers


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 100_000))
def test_barriers_are_the_isolators_on_some_simple_way(seed):
    """Against every simple path, one by one."""
    unit, works, _ = random_unit(seed, isolators=4)
    setup = Setup(Plan("p", "p", unit, None, None, {}, {}, {}))  # type: ignore[arg-type] # only the unit is asked
    net = setup.network
    rng = random.Random(seed)  # noqa: S311 - positions, no secrets
    state = begin(setup)._replace(off=sum(1 << i for i in bits(net.isolators) if rng.random() < 0.7))
    for name in works:
        place = net.place[name]
        for carrier in setup.of_part[place]:
            start = origins(setup, state, place, carrier)
            now = net.danger(carrier.id, start, state.off) if start else 0
            wanted = set()
            if start and not now >> place & 1:
                stops = {i for i in bits(net.vents | net.gauges) if i != place}
                graph: nx.Graph[int] = nx.Graph()
                graph.add_nodes_from(range(len(net.ids)))
                for i in range(len(net.ids)):
                    graph.add_edges_from(
                        (i, j) for j in bits(net.neighbours[carrier.id][i]) if not {i, j} & stops
                    )
                for source in bits(start):
                    for path in nx.all_simple_paths(graph, source, place):
                        last = max(k for k, i in enumerate(path) if now >> i & 1)
                        wanted |= {
                            i
                            for i in path[last:]
                            if state.off >> i & 1 and net.parts[i].role is Role.ISOLATOR and i != place
                        }
            assert set(bits(Barriers(setup).of(state, place, carrier))) == wanted
