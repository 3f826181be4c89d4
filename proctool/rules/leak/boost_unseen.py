"""A joint that was opened is looked at again while the pump that raises its pressure runs.

Why: The leak check comes before the power, so the pump stands still in it. Once it runs, the joint carries
more pressure than anyone has seen it hold, and it shakes as well.

Source: ASME B31.3-2016 345.7.3, initial service leak test: joints are examined at operating pressure.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - restore: inlet_valve
      - check: No water comes out at the <housing>.
        leak_check: housing
        for: 2 min
        otherwise:
          steps:
            - use: make-safe
          end_here: Leave the locks on and call for help.
      - unlock: plug
      - restore: plug
      - start: pump

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore            # looks at it, starts the pump, and looks again
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import Frame, Step, every_step
from proctool.model.unit import Part
from proctool.model.words import FLUIDS, Form
from proctool.network.reach import Mask, Network, bits
from proctool.rules.rule import PlanSubject, Rule, Seen


def check(subject: PlanSubject) -> Iterator[Seen]:
    """For each pump that is started after a joint on its line was opened, a leak check while it runs.

    Only the main steps count, and the order among them: the look must come after every start, and no stop may
    come between. A pump that the steps never start asks for nothing.
    """
    frame, net = subject.plan.frame, subject.network
    for pump in subject.plan.unit.parts.values():
        if pump.runs is None or _is_lamp(net, pump):
            continue
        all_starts = list(_places(frame.steps, "start", pump.id))
        for joint, opened in _joints(net, frame, pump).items():
            starts = [start for start in all_starts if _may_follow(frame, opened, start)]
            if not starts or _seen(frame, pump, joint, starts):
                continue
            label = subject.plan.unit.parts[joint].label
            message = f"The {label} was opened, and no one looks at it while the {pump.label} runs."
            help_ = f"After the start add a `leak_check` of the {label}; no `stop` may come between."
            last = frame.steps[starts[-1]]
            yield Seen(last.span, message, help_, last.id, joint)


def _is_lamp(net: Network, part: Part) -> bool:
    """A part on a line of radiation is a lamp: it runs and raises no pressure."""
    return any(net.unit.energies[e].form is Form.RADIATION for e in net.energies_of(part.id))


def _joints(net: Network, frame: Frame, pump: Part) -> dict[str, Mask]:
    """Holders whose joints are opened where the pump's pressure comes to, and the steps that open them.

    A source bounds what a pump can raise. Of a part that holds nothing the holders next to it are looked at.
    """
    found: dict[str, Mask] = {}
    at = 1 << net.place[pump.id]
    fluids = [e for e in net.energies_of(pump.id) if net.unit.energies[e].form in FLUIDS]
    for place, step in enumerate(frame.steps):
        for part in _opened_in(net, step):
            for energy in fluids:
                if not net.within(energy, at, 0, net.sources[energy]) >> part & 1:
                    continue
                beside = 1 << part if net.holders >> part & 1 else net.neighbours[energy][part] & net.holders
                for name in net.names(beside):
                    found[name] = found.get(name, 0) | 1 << place
    return found


def _opened_in(net: Network, step: Step) -> Iterator[int]:
    """The places of the parts that a step opens, itself or when it fails."""
    for inner in every_step(Frame((step,), (0,))):
        for act in inner.acts:
            if act.verb == "open":
                yield net.place[act.part]


def _places(steps: tuple[Step, ...], verb: str, part: str) -> Iterator[int]:
    """The places of the steps that do an act to a part."""
    for place, step in enumerate(steps):
        if any(act.verb == verb and act.part == part for act in step.acts):
            yield place


def _may_follow(frame: Frame, opened: Mask, start: int) -> bool:
    """Whether a start may come after one of the steps that open."""
    return any(not frame.before[i] >> start & 1 for i in bits(opened))


def _seen(frame: Frame, pump: Part, joint: str, starts: list[int]) -> bool:
    """Whether some leak check of the joint always finds the pump running."""
    stops = set(_places(frame.steps, "stop", pump.id))
    return any(
        all(_earlier(frame, start, look) for start in starts)
        and all(
            _earlier(frame, look, stop) or any(_earlier(frame, stop, start) for start in starts)
            for stop in stops
        )
        for look in _places(frame.steps, "leak_check", joint)
    )


def _earlier(frame: Frame, first: int, then: int) -> bool:
    """Whether one step comes before another in every order."""
    return bool(frame.before[then] >> first & 1)


RULE = Rule("leak/boost-unseen", page=__doc__, level=Level.WARNING, plan=check)
