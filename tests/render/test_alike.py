"""Steps that several failed checks share are written out once, and true for each of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proctool.model.plan import BackTo, EndHere, Otherwise
from proctool.model.verdict import Charge
from proctool.network.reach import Network
from proctool.render.manual import Manual
from proctool.render.view import manual
from tests.render import kw4
from tests.render.look import items, step


@pytest.fixture(scope="module")
def view() -> Manual:
    return kw4.view()


def test_the_same_steps_are_written_out_once(view):
    failure = step(view, "28").failure
    assert failure
    assert failure.lead == "If not OK, do steps 27.1 to 27.8 now, as written out under step 27."
    assert failure.refers == "step-27-1"
    assert failure.sections == ()
    assert failure.ending.startswith("Then go back to step 9")


def other_state(name: str) -> Manual:
    """The manual where the second leak check finds the motor live at a step of its making safe."""
    plan = kw4.plan()
    proof = kw4.proof(plan)
    here = f"return-to-service/second-dry/otherwise/make-safe/{name}"
    worst = {**proof.worst, here: {**proof.worst[here], ("motor", "mains"): Charge.LIVE}}
    return manual(
        plan, replace(proof, worst=worst), kw4.judgement(), Network(plan.unit), draft=False, digest=""
    )


def test_steps_that_end_in_another_state_are_written_out_again():
    failure = step(other_state("second/verify"), "28").failure
    assert failure
    assert len(items(failure.sections)) == 8


def test_steps_written_out_once_tell_the_worst_of_all_who_need_them():
    made = other_state("stop-machine")
    failure = step(made, "28").failure
    assert failure
    assert failure.refers == "step-27-1"
    first = step(made, "27").failure
    assert first
    mains = {
        item.number: state.charge
        for item in items(first.sections)
        for state in item.states
        if state.energy == "mains"
    }
    assert (mains["27.1"], mains["27.2"], mains["27.3"]) == ("zero", "live", "zero")


def test_steps_written_out_once_claim_a_device_only_where_all_find_it_so():
    opening = kw4.chain(kw4.do("x/otherwise/open", "Open it.", kw4.act("open", "first")))
    looks = [
        kw4.check(
            name,
            "It is dry.",
            otherwise=Otherwise(
                kw4.chain(replace(opening.steps[0], id=f"{name}/otherwise/open")), EndHere("Call.")
            ),
        )
        for name in ("early", "late")
    ]
    lock = kw4.do("lock", "Close it.", kw4.act("isolate", "inlet_valve"), kw4.act("lock", "inlet_valve"))
    for order, said in (
        ((lock, *looks), True),
        ((looks[0], lock, looks[1]), False),
    ):
        plan = replace(kw4.plan(), frame=kw4.chain(*order), opens=())
        blind = replace(kw4.proof(plan), worst={})
        made = manual(plan, blind, kw4.judgement(), Network(plan.unit), draft=False, digest="")
        failures = [failure for number in "123" if (failure := step(made, number).failure)]
        written = [item for failure in failures for item in items(failure.sections)]
        assert len(written) == 1
        assert ("inlet valve V1 closed and locked" in written[0].needs) is said


def test_what_follows_going_back_knows_what_was_done_before():
    locked = kw4.do(
        "look/otherwise/lock", "Close it.", kw4.act("isolate", "inlet_valve"), kw4.act("lock", "inlet_valve")
    )
    opened = kw4.do("look/then/open", "Open it.", kw4.act("open", "first"))
    ending = BackTo("a", 0, 3, 1, Otherwise(kw4.chain(opened), EndHere("Call.")))
    look = kw4.check("look", "It is dry.", otherwise=Otherwise(kw4.chain(locked), ending))
    plan = replace(kw4.plan(), frame=kw4.chain(kw4.do("a", "Do a."), look), opens=())
    failure = step(kw4.view(plan), "2").failure
    assert failure
    assert failure.then
    assert "inlet valve V1 closed and locked" in items(failure.then.sections)[0].needs
