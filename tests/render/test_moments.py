"""What the diagram shows around a step, held against walks through the real library."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from proctool.api import open_library
from proctool.model.finding import Move
from proctool.model.plan import BackTo, Frame
from proctool.model.verdict import Charge
from proctool.network.reach import Network
from proctool.prove import prove
from proctool.prove.frames import Run
from proctool.prove.replay import Runs, _snapshot, replay, straight_run
from proctool.render.steps import StepWriter
from tests.render import kw4

LIBRARY = Path(__file__).parents[2] / "procedures"
COVERS = {Charge.LIVE: "lm", Charge.TRAPPED: "lmt", Charge.ZERO: "lmtz"}
WALKS, MOST = 25, 250


def places(frame: Frame, found=None):
    """The frame and place of each step, nested ones too."""
    found = {} if found is None else found
    for place, step in enumerate(frame.steps):
        found[step.id] = (frame, place)
        otherwise = step.otherwise
        while otherwise is not None:
            places(otherwise.frame, found)
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None
    return found


@pytest.fixture(scope="module")
def cases():
    library = open_library(LIBRARY)
    found = [
        case
        for procedure, unit in (
            ("change-cartridges", "KW-4T"),
            ("replace-lamp-and-sleeve", "UV-3"),
            ("sanitise-skid", "KW-6"),
        )
        for case in library.cases(procedure=procedure, unit=unit)
    ]
    assert len(found) == 3
    return found


def test_no_walk_finds_a_part_worse_than_the_diagram_shows_it(cases):
    random = Random(4)  # noqa: S311 - which walks are taken
    seen = 0
    for case in cases:
        writer = StepWriter(case.plan, case.proof, Network(case.plan.unit), case.run())
        where = places(case.plan.frame)
        runs = Runs(case.plan)
        for _ in range(WALKS):
            point = runs.start
            for _ in range(MOST):
                nexts = [
                    step
                    for end in point.onward
                    if isinstance(end, Run)
                    for _, step in runs._frames.enabled(end.stack)
                ]
                if not nexts:
                    break
                step = random.choice(nexts)
                moment = writer.moments.moment(*where[step.id])
                before = _snapshot(runs.setup, point).charges
                point = runs._after(point, Move(step.id, random.random() < 0.8 if step.may_fail else None))
                after = _snapshot(runs.setup, point).charges
                for n, pair in enumerate(writer.moments.pairs):
                    assert moment.before[n] in COVERS[before[pair]], (case.unit, step.id, pair, "before")
                    assert moment.after[n] in COVERS[after[pair]], (case.unit, step.id, pair, "after")
                    seen += 1
    assert seen > 10_000


def test_what_only_some_orders_make_live_may_be_live():
    shut = kw4.do("shut", "Close the inlet valve V1.", kw4.act("isolate", "inlet_valve"))
    tell = kw4.do("tell", "Tell the supervisor.", kw4.act("tell", what="supervisor"))
    plan = replace(kw4.plan(), frame=Frame((shut, tell), (0, 0)), opens=())
    walked = replay(plan, straight_run(plan))
    writer = StepWriter(plan, prove(plan), Network(plan.unit), (walked.start, *walked.snapshots))
    water = writer.moments.pairs.index(("first", "water"))
    shut_at, tell_at = (writer.moments.moment(plan.frame, place) for place in (0, 1))
    assert shut_at.after[water] == "t"
    assert (tell_at.before[water], tell_at.after[water]) == ("m", "m")  # the valve may not be shut yet


def test_without_a_run_the_start_may_be_live():
    plan = kw4.plan()
    first = StepWriter(plan, kw4.proof(plan), Network(plan.unit)).moments.moment(plan.frame, 0)
    assert set(first.before) == {"m"}
    assert "l" in first.after
