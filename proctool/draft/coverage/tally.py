"""What was seen of one aspect of one row of the coverage, moment by moment, and the cell that it makes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from proctool.draft.coverage.moments import Moment
from proctool.model.coverage import Aspect, Cell, Deed, Mark

_GAPS = {
    Aspect.ISOLATED: "it is fed while the part stands open",
    Aspect.SECURED: "what holds it off is not locked, or not as long as the part stands open",
    Aspect.RELIEVED: "some of it is in the part when it is opened, or comes back while it stands open",
    Aspect.VERIFIED: "nobody has seen that it is zero, or it could come back since",
    Aspect.RESTORED: "no run reaches the end of the procedure",
    Aspect.LEAK_CHECKED: "no leak check under full pressure after the part was last closed",
}
_NOT_FED = "nothing can feed it here"


@dataclass(slots=True)
class Tally:
    """What was seen of one aspect of one row."""

    held: bool = False
    failed: Moment | None = None
    """The first moment at which it did not hold."""
    why: str = ""
    """What was wrong then, beyond the aspect's own words."""
    spared: str = ""
    """Why it was not asked at some moment; empty where it always was."""
    words: dict[str, None] = field(default_factory=dict)
    """On whose word it rests."""
    by: dict[Deed, None] = field(default_factory=dict)

    def note(self, holds: bool, moment: Moment, why: str = "") -> None:
        """One more moment at which it is asked; they come shortest run first. `why` says what is wrong."""
        self.held |= holds
        if not holds and self.failed is None:
            self.failed, self.why = moment, why

    def cell(self, aspect: Aspect, rank: Callable[[Deed], tuple[int, int]], unasked: str) -> Cell:
        """The answer over all moments. `unasked` says why it may never have been asked."""
        by = tuple(sorted(self.by, key=rank))
        if self.failed is not None:
            mark = Mark.SOMETIMES if self.held or self.spared else Mark.NO
            return Cell(aspect, mark, by, self.why or _GAPS[aspect], self.failed.run)
        if self.held and (by or aspect is not Aspect.ISOLATED):
            return Cell(aspect, Mark.WORD if self.words else Mark.YES, by, "; ".join(self.words))
        if aspect is Aspect.RESTORED and not self.spared:
            return Cell(aspect, Mark.NO, why=_GAPS[aspect])
        fed = aspect not in {Aspect.ISOLATED, Aspect.SECURED}
        return Cell(aspect, Mark.NOT_ASKED, why=(self.spared or unasked) if fed else _NOT_FED)
