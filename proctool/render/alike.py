"""Steps after failed checks that several checks share: written out once, and true for each of them.

What is told beside a step that is written out once is the worst over all the checks that lead to it, and a
device is only called off, locked or open there where it is so for each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Plan, Step, every_step
from proctool.model.unit import Part
from proctool.model.verdict import Charge, Proof
from proctool.render.devices import Devices, after_frame, after_step, at_start, before_step

States = Mapping[tuple[str, str], Charge]
"""The worst charge after a step, by (part, energy)."""

_RANK = (Charge.ZERO, Charge.TRAPPED, Charge.LIVE)


class Shared:
    """What frames that read alike and lead to the same have in common."""

    def __init__(self, plan: Plan, proof: Proof, watched: tuple[tuple[str, str], ...]) -> None:
        """`watched` are the (part, energy) whose state is told beside the steps."""
        self._proof = proof
        self._watched = watched
        self._worst: dict[str, States | None] = {}
        self._starts: dict[object, Devices] = {}
        alike: dict[object, list[tuple[str, Frame]]] = {}
        for check, frame, start in _failing(plan.frame, at_start(plan), plan.unit.parts):
            key = self.signature(frame, check)
            self._starts[key] = self.start(key, start)
            alike.setdefault(key, []).append((check, frame))
        peers: dict[str, list[str]] = {}
        for members in alike.values():
            for same in zip(*([s.id for s in every_step(frame)] for _, frame in members), strict=True):
                _join(peers, same)
        for step, same_as in peers.items():
            self._worst[step] = _worst([proof.worst.get(other) for other in same_as])
        self._lasts = {
            key: _worst([proof.worst.get(check) for check, _ in members]) for key, members in alike.items()
        }

    def worst(self, step: str) -> States | None:
        """What to tell beside a step; None where the proof did not reach it, or one that it stands for."""
        return self._worst[step] if step in self._worst else self._proof.worst.get(step)

    def last(self, signature: object) -> States | None:
        """What to tell before the first step of a frame."""
        return self._lasts.get(signature)

    def start(self, signature: object, start: Devices) -> Devices:
        """How the devices stand before a frame, where `start` is how they stand after one of its checks."""
        known = self._starts.get(signature, start)
        return Devices(known.off & start.off, known.locked & start.locked, known.vented & start.vented)

    def signature(self, frame: Frame, check: str) -> object:
        """Equal for frames with the same steps in the same order, that leave the same state at their end.

        `check` is the path id of the check the frame belongs to: ids under it are compared without it.
        """
        followed = 0
        for before in frame.before:
            followed |= before
        ends = tuple(self._held(s.id) for i, s in enumerate(frame.steps) if not followed >> i & 1)
        return (frame.before, tuple(self._step(step, check) for step in frame.steps), ends)

    def _held(self, step: str) -> object:
        worst = self._proof.worst.get(step)
        return None if worst is None else tuple(worst.get(pair) for pair in self._watched)

    def _step(self, step: Step, check: str) -> object:
        return (
            (step.kind, step.text, step.notes, step.hold, step.lasts, step.limits, step.gauge, step.heading),
            step.once,
            tuple((a.verb, a.part, a.by, a.energy, a.what) for a in step.acts),
            tuple((n.name, n.word) for n in step.needs),
            tuple((d.word, d.hazard, d.harm, d.avoid) for d in step.dangers),
            step.figure and (step.figure.file, step.figure.alt),
            step.otherwise and self._otherwise(step.otherwise, check),
        )

    def _otherwise(self, otherwise: Otherwise, check: str) -> object:
        ending = otherwise.ending
        said: object
        if isinstance(ending, BackTo):
            then = ending.then and self._otherwise(ending.then, check)
            said = (ending.target.removeprefix(check), ending.levels, ending.undone, ending.at_most, then)
        else:
            said = None if isinstance(ending, Continue) else ending.text
        return (self.signature(otherwise.frame, check), said)


def _failing(frame: Frame, start: Devices, parts: Mapping[str, Part]) -> Iterator[tuple[str, Frame, Devices]]:
    """Every frame of an `otherwise` or `then` that has steps: its check, and the devices before it."""
    for place, step in enumerate(frame.steps):
        otherwise = step.otherwise
        if otherwise is None:
            continue
        devices = after_step(step, before_step(frame, place, start, parts), parts)
        while otherwise is not None:
            if otherwise.frame.steps:
                yield step.id, otherwise.frame, devices
                yield from _failing(otherwise.frame, devices, parts)
                devices = after_frame(otherwise.frame, devices, parts)
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def _join(peers: dict[str, list[str]], same: tuple[str, ...]) -> None:
    """Put steps, and all that stand for one of them already, into one list that they share."""
    whole = list(dict.fromkeys(other for step in same for other in (*peers.get(step, ()), step)))
    for step in whole:
        peers[step] = whole


def _worst(every: list[States | None]) -> States | None:
    """The worst of several states; None where one of them is not known."""
    found: dict[tuple[str, str], Charge] = {}
    for states in every:
        if states is None:
            return None
        for pair, charge in states.items():
            found[pair] = max(found.get(pair, charge), charge, key=_RANK.index)
    return found
