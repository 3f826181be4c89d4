"""What shows a slip to the person at work, before it hurts: an unmet need, or a check that cannot pass.

The proof lets a check pass whatever the unit's state, and reports that it should not have. Here it is asked
what the person would *surely* see. Only this counts:

- a word of a step's `needs` that does not hold;
- in a step that may fail, `verify_zero` where the gauge, tester or open vent sees the holder
  (`energy/verified-charged`) and what it sees is certain: the holder is fed for sure, or it is not live and
  all that is charged in its danger reach is in its sure reach, so that a reading of zero would be true;
- in a step that may fail, `try_start` (`energy/tried-live`) of a part that is fed for sure: it runs;
- in a step that may fail, `leak_check` of a part that stands open (`leak/checked-open`) and is fed for sure:
  water comes out.

*Fed for sure*: a source, not an outlet that may feed back, is in the sure reach of the part: no check valve
and no restriction lies between. What may be live, or may have been let out, shows nothing for certain. A
leak check without pressure (`leak/checked-dry`) passes and shows nothing; so does a reading that is blind.
"""

from __future__ import annotations

from proctool.model.plan import Act, Step
from proctool.model.slips import Catch
from proctool.model.words import Role
from proctool.network.reach import Mask
from proctool.prove.acts import EFFECTS
from proctool.prove.charge import settle
from proctool.prove.report import Report
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State
from proctool.prove.words import holds

_PASSED = True
"""An act is asked what it shows as in a check that passes; what it reports does not hang on that."""


def unmet_need(setup: Setup, state: State, step: Step) -> Catch | None:
    """The first need of a step that does not hold: the step is not begun."""
    for need in step.needs:
        if not holds(setup, state, need.name, need.word):
            return Catch("need", step.id, need.name, "graph/need-unmet")
    return None


def fails_for_certain(setup: Setup, state: State, step: Step) -> Catch | None:
    """The first act of a check, begun in this state, that shows for certain that something is wrong."""
    if not step.may_fail:
        return None
    for act in step.acts:
        done, reports = EFFECTS[act.verb](setup, state, act, _PASSED)
        for report in reports:
            if _certain(setup, state, act, report):
                return Catch("check", step.id, act.part, report.rule)
        state = settle(setup, done)
    return None


def _certain(setup: Setup, state: State, act: Act, report: Report) -> bool:
    bit = 1 << setup.network.place[act.part]
    match report.rule:
        case "energy/verified-charged" | "energy/tried-live":
            carrier = setup.by_energy[report.energy or ""]
            if _fed(setup, state, bit, carrier):
                return True
            return report.rule == "energy/verified-charged" and _true_reading(setup, state, bit, carrier)
        case "leak/checked-open":
            return any(_fed(setup, state, bit, carrier) for carrier in setup.fluids)
    return False


def _fed(setup: Setup, state: State, bit: Mask, carrier: Carrier) -> bool:
    net = setup.network
    sources = carrier.sources & net.mask_of_roles(Role.SOURCE)
    return bool(net.sure(carrier.id, bit, state.off) & sources)


def _true_reading(setup: Setup, state: State, bit: Mask, carrier: Carrier) -> bool:
    """Whether a reading of zero would be true: nothing feeds the holder, all that may be charged is read."""
    net, i = setup.network, carrier.index
    if state.live[i] & bit:
        return False
    charged = net.danger(carrier.id, bit, state.off) & state.trapped[i]
    return not charged & ~net.sure(carrier.id, bit, state.off)
