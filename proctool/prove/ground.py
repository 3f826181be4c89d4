"""What all walks of monitors over one plan share: which steps any of them can see, and which are alike.

The steps of a block come again in many frames. Those that look alike to every monitor are of one *sort*, and
frames whose steps do so at the same places are of one *shape*: a monitor looks at each once.
"""

from __future__ import annotations

from typing import NamedTuple

from proctool.model.finding import Move
from proctool.model.plan import BackTo, Frame, Otherwise, Plan, Step
from proctool.model.telling import deeds_of
from proctool.network.reach import Mask, bits
from proctool.prove.frames import Frames


class Idle(NamedTuple):
    """Steps of a frame that mean nothing to a monitor and wait for the same steps."""

    waits_for: Mask
    """What comes before them and is not idle itself."""
    all: Mask
    steps: tuple[tuple[Mask, Move], ...]
    """In an order in which they can be done."""


class Under(NamedTuple):
    """What happens when a step fails."""

    shapes: tuple[int, ...] = ()
    """Of the frames of its `otherwise` and of each `then`."""
    leads_back: bool = False


class Loud(NamedTuple):
    """A step that a monitor can see anything of."""

    place: int
    step: Step
    sort: int | None
    """None where only what is under it can be seen."""
    under: Under


class Ground:
    """One plan as monitors see it."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.frames = Frames(plan.frame)
        self.beside: dict[str, Mask] = {}
        """For each step the steps of its frame that may come before it or after it."""
        self.sort: dict[str, int] = {}
        """Of each step of which itself a monitor can see anything."""
        self.shape: dict[int, int] = {}
        """Of each frame, by its identity, which the plan keeps alive."""
        self.loud: list[tuple[Loud, ...]] = []
        """For each shape the steps that can be seen, of the first frame that has it."""
        self._order: dict[int, list[int]] = {}
        """For each frame, by its identity, an order of its steps."""
        self._idle: dict[tuple[int, Mask], tuple[Idle, ...]] = {}
        self._sorts: dict[tuple[object, ...], int] = {}
        self._shapes: dict[tuple[object, ...], int] = {}
        self._look(plan.frame)

    def _look(self, frame: Frame) -> int:
        """Look at a frame and all frames under it; its shape."""
        later = [0] * len(frame.steps)
        for j, earlier in enumerate(frame.before):
            for i in bits(earlier):
                later[i] |= 1 << j
        everything = (1 << len(frame.steps)) - 1
        counts = [earlier.bit_count() for earlier in frame.before]
        self._order[id(frame)] = sorted(range(len(counts)), key=counts.__getitem__)
        for i, step in enumerate(frame.steps):
            self.beside[step.id] = everything & ~(later[i] | frame.before[i] | 1 << i)
        loud = tuple(one for i, step in enumerate(frame.steps) if (one := self._seen(i, step)) is not None)
        alike = tuple((one.place, one.sort, one.under) for one in loud)
        shape = self._shapes.setdefault(alike, len(self._shapes))
        if shape == len(self.loud):
            self.loud.append(loud)
        self.shape[id(frame)] = shape
        return shape

    def _seen(self, place: int, step: Step) -> Loud | None:
        """A step, if a monitor can see anything of it or of what is under it."""
        under = self._under(step.otherwise) if step.otherwise is not None else Under()
        sort = None
        if deeds_of(step) or step.makes:
            said = step.acts, step.makes, step.kind, step.text
            sort = self.sort[step.id] = self._sorts.setdefault(said, len(self._sorts))
        seen = sort is not None or under.leads_back or any(self.loud[shape] for shape in under.shapes)
        return Loud(place, step, sort, under) if seen else None

    def _under(self, otherwise: Otherwise | None) -> Under:
        shapes, leads_back = [], False
        while otherwise is not None:
            shapes.append(self._look(otherwise.frame))
            ending, otherwise = otherwise.ending, None
            if isinstance(ending, BackTo):
                leads_back, otherwise = True, ending.then
        return Under(tuple(shapes), leads_back)

    def idle(self, frame: Frame, counting: Mask) -> tuple[Idle, ...]:
        """The steps of a frame that are not in `counting`; first those that wait for fewer."""
        key = id(frame), counting
        known = self._idle.get(key)
        if known is None:
            alike: dict[Mask, list[int]] = {}
            for i in self._order[id(frame)]:
                if not counting >> i & 1:
                    alike.setdefault(frame.before[i] & counting, []).append(i)
            ranked = sorted(alike.items(), key=lambda one: one[0].bit_count())
            known = tuple([_together(frame, waits_for, places) for waits_for, places in ranked])
            self._idle[key] = known
        return known


def _together(frame: Frame, waits_for: Mask, places: list[int]) -> Idle:
    steps = [(1 << i, frame.steps[i]) for i in places]
    moves = tuple([(bit, Move(step.id, True if step.may_fail else None)) for bit, step in steps])
    return Idle(waits_for, sum(bit for bit, _ in steps), moves)
