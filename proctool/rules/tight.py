"""Parts that are closed and not yet tight, compiled to monitors.

The proof asks that a joint is tight before a fluid comes to it. This asks the same of everything else that a
part can meet (a cover over a belt or a terminal holds by its screws too), and of the end of the procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.model.words import FLUIDS
from proctool.network.reach import Network
from proctool.rules.feed import MOVES, Feed, Positions, feed, start

RULE = "energy/closed-loose"
_TURNS = frozenset({"open", "close", "tighten", "loosen"})


def monitors(plan: Plan, net: Network) -> Iterator[Monitor]:
    """One for each part with a torque, or an end one can see, that a plan opens, closes or loosens."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    for name in dict.fromkeys(act.part for act in acts if act.verb in _TURNS - {"tighten"}):
        if net.unit.parts[name].tighten is not None:
            dry = [e for e in net.energies_of(name) if net.unit.energies[e].form not in FLUIDS]
            feeds = tuple(feed(plan, net, name, energy) for energy in dry)
            yield _Joint(plan, net, name, feeds).monitor()


@dataclass(frozen=True, slots=True)
class _Joint:
    """A part that is tightened. Memory: isolators off, whether it stands open, whether it is loose."""

    plan: Plan
    net: Network
    part: str
    feeds: tuple[Feed, ...]

    def monitor(self) -> Monitor:
        """The monitor of this part."""
        isolators = 0
        for line in self.feeds:
            isolators |= line.isolators

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            (off, open_, loose), lapses = memory, []
            for act in deed.step.acts:
                before, off = off, Positions(off, 0).after(self.net, act, isolators).off
                if act.part == self.part and act.verb in _TURNS:
                    open_, loose = self._turned(act, open_, loose, sure=deed.passed is not False)
                back = [f.energy for f in self.feeds if f.live(off) and not f.live(before)]
                if back and loose and not open_:
                    lapses.append(self._lapse("is not tight when {} comes back", tuple(back)))
                    loose = 0
            return (off, open_, loose), tuple(lapses)

        def touches(step: Step) -> Touch:
            turned = any(act.part == self.part and act.verb in _TURNS for act in step.acts)
            moved = self.net.mask(act.part for act in step.acts if act.verb in MOVES)
            return Touch.CHANGES if turned or moved & isolators else Touch.NOTHING

        def at_end(memory: Memory) -> tuple[Lapse, ...]:
            _, open_, loose = memory
            return (self._lapse("is never tightened again"),) if loose and not open_ else ()

        ajar = int("open" in self.plan.starts.get(self.part, ()))
        return Monitor(RULE, (), (start(self.plan, self.net).off, ajar, ajar), touches, follow, at_end)

    @staticmethod
    def _turned(act: Act, open_: int, loose: int, *, sure: bool) -> tuple[int, int]:
        """Whether it stands open and is loose after an act on it; an open part is not tightened."""
        match act.verb:
            case "open":
                return 1, 1
            case "close":
                return 0, loose
            case "loosen":
                return open_, 1
        return open_, loose if open_ or not sure else 0

    def _lapse(self, how: str, back: tuple[str, ...] = ()) -> Lapse:
        part, energies = self.net.unit.parts[self.part], self.net.unit.energies
        told = how.format(" and ".join(energies[e].name for e in back))
        turned = [s for s in every_step(self.plan.frame) if any(self._opens(act) for act in s.acts)]
        return Lapse(
            f"The {part.label} was opened or loosened and {told}.",
            f"After it is closed, `tighten` it: {part.tighten}.",
            self.part,
            back,
            span=None if back else turned[-1].span,
            covered=(("leak/not-tightened", self.part), ("leak/left-open", self.part)),
        )

    def _opens(self, act: Act) -> bool:
        return act.part == self.part and act.verb in {"open", "loosen", "close"}
