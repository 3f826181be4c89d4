"""Which steps of the main list share nothing with others: each such *branch* can be walked by itself.

The main list is cut into *groups*: every step of one comes before every step of the next (`orders.series`).
Within a group two steps belong to one branch if one comes before the other in every order, if one writes
what the other reads or writes (`touch`), or if one is a check whose failing leads back to the other. A check
stands for all that its failing can lead to: the steps of its `otherwise` and `then`, the question asked where
the job stops, and the steps that it undoes. What is read and written is taken within bounds that hold for
every state that the steps of the group can lead to from the one in which it is entered (`bounds`), in any
order and number: nothing else is done before the group is complete or left.

**Why walking one branch to its end before the next is begun loses nothing** (persistent sets: Godefroid 1994;
stubborn sets: Valmari 1990; the sets are worked out from the state itself, before any of its successors is
looked at, and no use is made of which pairs were met before, so that the fault of an on-the-fly variant that
Siegel described in 2019 cannot arise). Let a pair be given, with the steps that may come next in its first
unfinished branch, and any run from there, of any length.

- If some step of that branch is in the run, take the first, with all that its failing leads to. Nothing
  before it in the run shares anything with it or undoes it, so it can be moved to the front: the same steps
  make the same reports and the pair in the end is the same. Where its failing ends the job, what stood
  before it is a run of its own.
- If none is, put one in front, passing. The rest of the run can still follow and reports the same.

Either way what is left is a shorter run, or an equally long one from a pair with more done; so by induction
every report of every run is made in a run in which the first unfinished branch always goes first, a report at
a stop or at the end among them. Groups are entered in the same pairs as without this. Checks that lead back
make loops, but the induction is over runs, not over pairs, and needs no condition on loops.

Only whole branches are told apart, and only of the main list. Finer sets (some steps of a branch before its
others) would leave more out, but then the states beside each step and the shortest traces could not be put
together from the branches as `worst` and `shortest` do. What keeps branches together: a step that is free of
many others makes one group of them all, so that bounds are wide; a check that may end the job joins its
branch to every one that opens something not surely dead and locked; a leak check joins its branch to every
one with a vent or part on the same line that may be open.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from proctool.model.plan import BackTo, EndHere, Frame, Otherwise, Step, every_step
from proctool.network.reach import Mask, bits
from proctool.prove.bounds import Bounds, bounds
from proctool.prove.frames import Stack
from proctool.prove.orders import Groups, branches, joined
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.touch import Footprint, Touch

Parting = tuple[Mask, ...]
"""The branches of one group, as sets of places in the main list; none where it has only one."""

WHOLE: Parting = ()

_MOST_BOUNDS = 32
"""For how many entries into one group bounds are worked out; then it is walked whole."""


class Apart:
    """The groups of a plan's main list, and their branches for each state in which they are entered."""

    def __init__(self, setup: Setup, frame: Frame) -> None:
        self._setup, self._frame = setup, frame
        self._groups = Groups(frame)
        self._loose = [len(branches(group, frame.before)) > 1 for group in self._groups.steps]
        """Whether a group has steps that no order joins to the others."""
        self.ever = any(self._loose)
        """Whether any group has."""
        self._known: dict[int, list[tuple[Bounds, Parting]]] = {}

    def group(self, stack: Stack) -> int:
        """The number of the group that is under way; the number of groups, where all is done."""
        return self._groups.current(stack[0].done)

    def entered(self, group: int, state: State) -> Parting:
        """The branches of a group that is entered in some state."""
        if group >= len(self._loose) or not self._loose[group]:
            return WHOLE
        known = self._known.setdefault(group, [])
        for within, parting in known:
            if within.hold(state):
                return parting
        if len(known) >= _MOST_BOUNDS:
            return WHOLE
        within, parting = self._parted(group, state)
        known.append((within, parting))
        return parting

    def _parted(self, group: int, state: State) -> tuple[Bounds, Parting]:
        steps, mask = self._frame.steps, self._groups.steps[group]
        before = self._groups.done[group] & ~mask
        within = bounds(self._setup, state, (s for i in bits(mask) for s in every_of(steps[i])))
        touch = Touch(self._setup, within, state)
        undone = {i: undone_by(steps[i]) for i in bits(mask)}
        if any(back & before for back in undone.values()):
            return within, WHOLE
        prints = [(i, self._footprint(touch, i)) for i in bits(mask)]
        links = [1 << i | (back | self._frame.before[i]) & mask for i, back in undone.items()]
        links += (1 << i | 1 << j for (i, one), (j, other) in combinations(prints, 2) if one.clashes(other))
        found = tuple(joined(links))
        return within, found if len(found) > 1 else WHOLE

    def _footprint(self, touch: Touch, place: int) -> Footprint:
        """What a step of the main list and all that its failing leads to read and write.

        What it undoes belongs to its branch anyway.
        """
        step = self._frame.steps[place]
        reads = touch.stop() if may_stop(step) else 0
        writes = 0
        for one in every_of(step):
            footprint = touch.step(one)
            reads |= footprint.reads
            writes |= footprint.writes
        return Footprint(reads, writes)


def every_of(step: Step) -> tuple[Step, ...]:
    """A step of the main list, and all steps that its failing can lead to before it goes on or back."""
    return every_step(Frame((step,), (0,)))


def _otherwises(step: Step, depth: int = 0) -> Iterator[tuple[Otherwise, int]]:
    """Each `otherwise` and `then` of a step, with how many frames stand below the one of its check."""
    otherwise = step.otherwise
    while otherwise is not None:
        yield otherwise, depth
        for inner in otherwise.frame.steps:
            yield from _otherwises(inner, depth + 1)
        otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def may_stop(step: Step) -> bool:
    """Whether failing can end the job."""
    return any(isinstance(otherwise.ending, EndHere) for otherwise, _ in _otherwises(step))


def undone_by(step: Step) -> Mask:
    """The places in the main list that failing can make count as not done."""
    found = 0
    for otherwise, depth in _otherwises(step):
        if isinstance(otherwise.ending, BackTo) and otherwise.ending.levels == depth:
            found |= otherwise.ending.undone
    return found
