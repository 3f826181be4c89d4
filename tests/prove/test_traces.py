"""Traces are true and shortest; findings depend on the files alone; what is not explored is not safe."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from proctool.api import Library
from proctool.model.finding import Finding, Level, Move
from proctool.model.plan import Plan, every_step
from proctool.model.verdict import Verdict
from proctool.prove import replay
from proctool.prove.replay import TraceError
from proctool.rules.packs import RULES
from tests.oracle.cases import case as seeded
from tests.oracle.text import files as as_files
from tests.prove.build import PROCEDURE, Case, case, of_proof, proofs, told, trace, verdict

# A housing with freedom in what is done to it, checks that fail, and a way back.
UNIT = """\
unit: T
title: Housing
energies:
  water: {form: liquid_pressure}
parts:
  supply: {role: source}
  valve: {role: isolator, device: valve}
  housing: {role: component, near: [], seal: O-ring}
  button: {role: vent}
  gauge: {role: gauge, at: housing, energy: water}
lines:
  main: {energy: water, path: [supply, valve, housing]}
  relief: {energy: water, path: [housing, button]}
"""
SMALL = {
    "nothing has an order": case(
        UNIT,
        """
        isolate: valve, after: []
        lock: valve, after: []
        vent: button, after: []
        id: zero, verify_zero: {part: housing, by: gauge}, after: []
        open: housing, after: []
        """,
    ),
    "an otherwise that goes on": case(
        UNIT,
        """
        isolate: valve
        vent: button, after: []
        id: zero, verify_zero: {part: housing, by: gauge}, otherwise: {steps: [{lock: valve}], continue: true}
        open: housing
        id: seal, check: The seal is sound., inspect_seal: housing, otherwise: {continue: true}
        close: housing
        """,
    ),
    "a way back": case(
        UNIT,
        """
        id: safe, isolate: valve, lock: valve, vent: button
        id: zero, verify_zero: {part: housing, by: gauge}
        open: housing
        close: housing
        id: on, unlock: valve, restore: valve, shut: button
        leak_check: housing, otherwise: {steps: [{isolate: valve}], back_to: open-housing, at_most: 2}
        """,
    ),
    "a way back that has no end": case(
        UNIT,
        """
        isolate: valve
        lock: valve
        id: look, check: Nothing drips., otherwise: {steps: [{unlock: valve}], back_to: lock-valve}
        id: end, do: Wipe the housing.
        """,
    ),
    "a way back, and what then": case(
        UNIT,
        """
        id: safe, isolate: valve, lock: valve, vent: button
        open: housing
        id: see, check: The seal is sound., otherwise: {steps: [{vent: button}], back_to: see, at_most: 1, \
            then: {steps: [{id: stop, unlock: valve}], end_here: Call service.}}
        close: housing
        """,
    ),
    "a check inside an otherwise": case(
        UNIT,
        """
        isolate: valve
        id: a, check: It is dry., otherwise: {steps: [ \
            {id: b, check: It drips., otherwise: {continue: true}}, {open: housing}], back_to: a}
        id: c, do: Wipe it., after: []
        """,
    ),
    "a stop in the middle": case(
        UNIT,
        """
        id: look, check: The housing is dry., after: []
        open: housing, after: []
        id: see, check: The cartridge is white., otherwise: {end_here: Call service.}
        """,
    ),
}

Key = tuple[str, str | None, str]


def key(finding: Finding) -> Key:
    assert finding.part is not None
    return finding.rule, finding.step, finding.part


def reported(plan: Plan, moves: tuple[Move, ...]) -> set[Key]:
    """All that a run breaks, its end included where it has one."""
    return {(report.rule, step, report.part) for step, report in replay(plan, moves).reports}


def assert_true(plan: Plan, finding: Finding) -> None:
    """A trace can be walked, breaks what it stands for, and does so with its last step and not before."""
    assert key(finding) in reported(plan, finding.trace)
    assert key(finding) not in reported(plan, finding.trace[:-1])
    result = replay(plan, finding.trace)
    energies = {report.energy for step, report in result.reports if (report.rule, step) == key(finding)[:2]}
    assert energies - {None} <= {energy.id for energy in plan.unit.energies.values()}
    if finding.step is None:
        assert result.complete
    elif finding.rule != "graph/end-unsafe":
        assert finding.trace[-1].step == finding.step
    else:  # the check that failed, then the steps of its `otherwise`
        assert Move(finding.step, passed=False) in finding.trace


def runs(plan: Plan, length: int) -> Iterator[tuple[Move, ...]]:
    """Every run of so many steps, in file order, what passes before what fails: tried, not searched for."""
    moves = [
        Move(step.id, passed)
        for step in every_step(plan.frame)
        for passed in ((True, False) if step.may_fail else (None,))
    ]
    if length == 0:
        yield ()
        return
    for run in runs(plan, length - 1):
        for move in moves:
            try:
                replay(plan, (*run, move))
            except TraceError:
                continue
            yield (*run, move)


# ---------------------------------------------------------------------------- true and shortest


@pytest.mark.parametrize("small", SMALL.values(), ids=SMALL)
def test_a_trace_is_the_first_of_the_shortest_runs_that_break(small: Case) -> None:
    plan, found = small.plan(), list(proofs(small.check()).values())
    assert found
    first: dict[Key, tuple[Move, ...]] = {}
    for length in range(1, 1 + max(len(finding.trace) for finding in found)):
        for run in runs(plan, length):
            for broken in reported(plan, run):
                first.setdefault(broken, run)
    assert {key(finding): finding.trace for finding in found} == first


@pytest.mark.parametrize("small", SMALL.values(), ids=SMALL)
def test_a_trace_replays(small: Case) -> None:
    plan = small.plan()
    for finding in proofs(small.check()).values():
        assert_true(plan, finding)


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_traces_of_seeded_cases_replay(first: int) -> None:
    for seed in range(first, first + 20):
        (judged,) = Library.from_texts(as_files(*seeded(seed))).cases()
        assert judged.plan is not None
        found = [finding for finding in judged.findings if of_proof(finding.rule)]
        for finding in found:
            assert_true(judged.plan, finding)
        broken = any(RULES[finding.rule].level is Level.ERROR for finding in found)
        assert judged.judgement.verdict is (Verdict.UNSAFE if broken else Verdict.SAFE)


def test_the_trace_includes_the_step_that_breaks_and_the_outcome_of_each_check() -> None:
    found = proofs(SMALL["a way back"].check())
    # The check fails, the valve is shut without its lock, and back at the housing nobody proves zero again.
    assert trace(found["energy/opened-charged open-housing housing"]) == (
        ("safe", None),
        ("zero", True),
        ("open-housing", None),
        ("close-housing", None),
        ("on", None),
        ("leak_check-housing", False),
        ("leak_check-housing/otherwise/isolate-valve", None),
        ("open-housing", None),
    )


def test_what_is_done_once_is_not_done_again_on_the_way_back() -> None:
    fitted = case(
        UNIT,
        """
        id: safe, isolate: valve, lock: valve, vent: button
        id: zero, verify_zero: {part: housing, by: gauge}
        id: on, do: Begin.
        open: housing
        id: new, fit: {part: housing, what: seal}, once: true
        close: housing
        id: tight, check: It sits well., otherwise: {steps: [{shut: button}], back_to: on}
        """,
    )
    once = proofs(fitted.check())["energy/opened-unproven open-housing housing"]
    assert [step for step, _ in trace(once)].count("new") == 1
    steps = ["on", "open-housing", "close-housing", "tight"]
    done = [Move(step, step == "tight" or None) for step in steps]
    plan = fitted.plan()
    assert replay(plan, (*once.trace, *done[2:])).complete
    with pytest.raises(TraceError):
        replay(plan, (*once.trace, Move("new", None)))


def test_where_going_back_and_going_on_begin_alike_the_rest_of_the_trace_decides() -> None:
    small = case(
        UNIT,
        """
        id: look, check: Dry., otherwise: {steps: [{shut: button}], back_to: look, then: {continue: true}}
        id: free, do: Look around., after: []
        id: last, do: Go.
        """,
    )
    wiped = [Move("look", passed=False), Move("look/otherwise/shut-button", None), Move("free", None)]
    for rest in ([], [Move("look", passed=True)]):
        assert replay(small.plan(), (*wiped, *rest, Move("last", None))).complete


def test_a_trace_that_cannot_be_walked_is_refused() -> None:
    plan = SMALL["a way back"].plan()
    for moves in (
        (Move("open-housing", None),),  # out of order
        (Move("safe", True),),  # a step that cannot fail has no outcome
        (Move("safe", None), Move("zero", None)),  # a check has one
        (Move("safe", None), Move("zero", False), Move("open-housing", None)),  # the job has stopped
        (Move("nothing", None),),
    ):
        with pytest.raises(TraceError):
            replay(plan, moves)


# ---------------------------------------------------------------------------- the files alone

REPORT = """
import json, sys
from proctool.api import Library
libraries = json.load(sys.stdin)
sys.stdout.write("".join(Library.from_texts(dict(files)).check().to_json() for files in libraries))
"""


def _reports(libraries: list[dict[str, str]], hash_seed: str, *, backwards: bool) -> bytes:
    ordered = [
        list(reversed(library.items())) if backwards else list(library.items()) for library in libraries
    ]
    done = subprocess.run(
        [sys.executable, "-c", REPORT],
        input=json.dumps(ordered).encode(),
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        check=True,
    )
    return done.stdout


def _demo() -> dict[str, str]:
    """What changing the cartridges needs of the demo library."""
    root = Path(__file__).parents[2] / "procedures"
    files = {str(path.relative_to(root)): path for path in sorted(root.rglob("*.yaml"))}
    others = ("units/ad", "units/hx", "units/uv")
    return {
        file: path.read_text(encoding="utf-8")
        for file, path in files.items()
        if not file.startswith(others) and ("/" in file or file in {"library.yaml", "change-cartridges.yaml"})
    }


def test_the_report_depends_on_neither_hash_seeds_nor_the_order_of_files() -> None:
    demo = _demo()
    make_safe = demo["blocks/make-safe.yaml"]
    assert make_safe.count("vent: way_out") == 1
    unvented = {**demo, "blocks/make-safe.yaml": make_safe.replace("vent: way_out", "shut: way_out")}
    libraries = [demo, unvented, *(small.files() for small in SMALL.values())]
    libraries += [as_files(*seeded(seed)) for seed in range(20)]
    first = _reports(libraries, "0", backwards=False)
    assert b'"energy/opened-charged"' in first
    assert first == _reports(libraries, "1", backwards=True)
    assert first == _reports(libraries, "4242", backwards=False)


def test_the_order_of_findings_is_that_of_file_line_column_rule_unit_step_part_message() -> None:
    for small in SMALL.values():
        findings = [finding for finding in small.check().findings if finding.span is not None]
        places = [
            (f.file, f.span.line, f.span.column, f.rule, f.unit or "", f.step or "", f.part or "", f.message)
            for f in findings
            if f.span is not None
        ]
        assert places == sorted(set(places))


# ---------------------------------------------------------------------------- the budget


def _free(size: int, unit: str = "T") -> Case:
    """So many valves in a row between housings that nothing relieves, shut in any order."""
    row = [name for i in range(size) for name in (f"v{i}", f"h{i}")]
    parts = [
        f"  {name}: {{role: component, near: []}}" if name[0] == "h" else f"  {name}: {{role: isolator}}"
        for name in row
    ]
    text = "\n".join(
        [
            f"unit: {unit}",
            "title: A row of valves",
            "energies:",
            "  water: {form: liquid_pressure}",
            "parts:",
            "  supply: {role: source}",
            *parts,
            "lines:",
            f"  main: {{energy: water, path: [supply, {', '.join(row)}]}}",
            "",
        ]
    )
    shuts = ", ".join(f"{{isolate: v{i}}}" for i in range(size))
    opens = ", ".join(f"{{restore: v{i}}}" for i in reversed(range(size)))
    return case(text, f"id: shuffle, any_order: [{shuts}]\nid: back, steps: [{opens}]")


def test_a_freedom_that_can_be_explored_is_explored() -> None:
    result = _free(6).check()
    assert verdict(result) is Verdict.SAFE
    assert result.verdicts[0].orders == 720
    assert not [f for f in result.findings if f.rule == "graph/too-free"]


def test_a_freedom_that_explodes_is_not_proven() -> None:
    result = _free(20).check(budget=1000)
    assert verdict(result) is Verdict.UNPROVEN
    assert not result.passed
    (finding,) = [f for f in result.findings if f.rule == "graph/too-free"]
    assert "`shuffle` (20 steps)" in finding.message
    assert finding.level is Level.ERROR
    assert (finding.file, finding.step) == (PROCEDURE, None)
    assert finding.span is not None and finding.span.line == 5
    assert result.verdicts[0].orders == 2_432_902_008_176_640_000


def test_a_budget_of_one_pair_proves_nothing() -> None:
    assert verdict(_free(5).check(budget=1)) is Verdict.UNPROVEN


@pytest.mark.parametrize("budget", range(1, 80, 6))
def test_a_budget_gives_an_answer_up_and_never_changes_it(budget: int) -> None:
    """What is safe is never called unsafe, what is not never safe, however little is explored."""
    safe = _free(5).check(budget=budget)
    assert verdict(safe) in {Verdict.SAFE, Verdict.UNPROVEN}
    unsafe = SMALL["nothing has an order"]
    whole, part = unsafe.check(), unsafe.check(budget=budget)
    assert verdict(part) in {Verdict.UNSAFE, Verdict.UNPROVEN}
    if verdict(part) is Verdict.UNSAFE:
        assert part.to_json() == whole.to_json()
    # What was found up to there is shown, and is true.
    assert proofs(part).items() <= proofs(whole).items()


def test_what_was_found_before_the_budget_ended_is_shown() -> None:
    unfinished = _free(20).edit("{isolate: v0}", "{lock: v0}").check(budget=1000)
    assert "energy/locked-not-off shuffle/lock-v0 v0" in {told(f) for f in unfinished.findings}
    assert verdict(unfinished) is Verdict.UNPROVEN


# ---------------------------------------------------------------------------- levels

RUNNING = case(
    """\
unit: T
title: Fan
energies:
  mains: {form: electricity}
parts:
  feed: {role: source}
  switch: {role: isolator, device: disconnector}
  fan: {role: component, runs: mains}
lines:
  power: {energy: mains, path: [feed, switch, fan]}
""",
    """
    isolate: switch
    stop: fan
    restore: switch
    start: fan
    """,
)


def test_a_warning_alone_leaves_the_verdict_safe() -> None:
    result = RUNNING.check()
    assert set(proofs(result)) == {"energy/cut-while-running isolate-switch fan"}
    assert proofs(result)["energy/cut-while-running isolate-switch fan"].level is Level.WARNING
    assert verdict(result) is Verdict.SAFE
    assert verdict(RUNNING.drop("stop: fan").check()) is Verdict.UNSAFE


@pytest.mark.parametrize("level", ["warning", "advice"])
def test_a_level_lowered_by_a_library_does_not_change_the_verdict(level: str) -> None:
    unsafe = RUNNING.drop("start: fan")
    asked = {"library.yaml": f"library: Tests\nlevels: {{energy/not-restored: {level}}}\n"}
    result = Library.from_texts({**unsafe.files(), **asked}).check()
    assert "energy/not-restored end fan" in proofs(result)
    assert verdict(result) is Verdict.UNSAFE
