"""Several monitors in one walk, to tell which of them find nothing wrong.

Where steps hardly come in another order, walking once with all memories side by side looks at far fewer
places than one walk for each monitor. All of them together are a monitor like any other, so what `watch` says
of its shortcuts holds. Which monitors find something is all that is told here: what they find is for a walk
of their own.
"""

from __future__ import annotations

from collections.abc import Sequence

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Step
from proctool.prove.ground import Ground

_LAPSED = -1
"""In place of the memory of a monitor that has found something: it need not look on."""

_Asked = tuple[int, int, int, bool | None, tuple[str, ...], tuple[str, ...]]


class Together:
    """Monitors side by side. Each one's memory is a number here: that of all is a row of them."""

    def __init__(self, ground: Ground, monitors: Sequence[Monitor]) -> None:
        self._sort, self._monitors = ground.sort, monitors
        self.reads = tuple(sorted({name for monitor in monitors for name in monitor.reads}))
        self.lapsed: set[int] = set()
        """The places of the monitors that found something so far."""
        self._own = [tuple(self.reads.index(name) for name in monitor.reads) for monitor in monitors]
        self._memories: list[list[Memory]] = [[monitor.start] for monitor in monitors]
        self._numbers: list[dict[Memory, int]] = [{monitor.start: 0} for monitor in monitors]
        self._concerned: dict[int, tuple[int, ...]] = {}
        """For each sort of step the monitors that it means something to."""
        self._onward: dict[_Asked, int] = {}

    def monitor(self) -> Monitor:
        """All of them as one, which itself tells of nothing."""
        start = tuple(0 for _ in self._monitors)
        return Monitor("", self.reads, start, self._touches, self._follow, self._at_end)

    def _touches(self, step: Step) -> Touch:
        touches = [monitor.touches(step) for monitor in self._monitors]
        means = [place for place, touch in enumerate(touches) if touch is not Touch.NOTHING]
        self._concerned[self._sort[step.id]] = tuple(means)
        return max(touches, default=Touch.NOTHING)

    def _follow(self, memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
        sort = self._sort.get(deed.step.id)
        if sort is None:
            return memory, ()
        after = list(memory)
        for place in self._concerned[sort]:
            after[place] = self._after(place, memory[place], sort, deed)
        return tuple(after), ()

    def _after(self, place: int, number: int, sort: int, deed: Deed) -> int:
        """The number of one monitor's memory after a step."""
        if place in self.lapsed:
            return _LAPSED
        before, after = deed.before, deed.after
        if before:
            own = self._own[place]
            before, after = tuple([before[i] for i in own]), tuple([after[i] for i in own])
        asked = place, number, sort, deed.passed, before, after
        known = self._onward.get(asked)
        if known is None:
            own_deed = Deed(deed.step, deed.passed, before, after)
            memory, lapses = self._monitors[place].follow(self._memories[place][number], own_deed)
            known = self._number(place, memory)
            if lapses:
                self.lapsed.add(place)
                known = _LAPSED
            self._onward[asked] = known
        return known

    def _number(self, place: int, memory: Memory) -> int:
        numbers = self._numbers[place]
        if memory not in numbers:
            numbers[memory] = len(numbers)
            self._memories[place].append(memory)
        return numbers[memory]

    def _at_end(self, memory: Memory) -> tuple[Lapse, ...]:
        for place, number in enumerate(memory):
            if place not in self.lapsed and self._monitors[place].at_end(self._memories[place][number]):
                self.lapsed.add(place)
        return ()
