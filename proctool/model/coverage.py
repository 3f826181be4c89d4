"""What an audit asks of a case: for each opened part and each energy there, what keeps it from people."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.finding import Move


class Aspect(StrEnum):
    """What is asked of an energy at an opened part."""

    ISOLATED = "isolated"
    """Nothing feeds it while the part stands open."""
    SECURED = "secured"
    """What holds it off is locked, or under exclusive control, as long."""
    RELIEVED = "relieved"
    """Nothing of it is left in the part when it is opened."""
    VERIFIED = "verified"
    """Somebody saw that it is zero, and it could not come back since."""
    RESTORED = "restored"
    """In the end the part is closed, and every device that was used for it is as it was."""
    LEAK_CHECKED = "leak-checked"
    """The closed part was looked at under full pressure."""


class Mark(StrEnum):
    """What the proof says of one aspect, over every order and both outcomes of every check."""

    YES = "yes"
    WORD = "on word"
    """It holds, but only because somebody said so: an excuse, or what `leaves` says."""
    NOT_ASKED = "not asked"
    SOMETIMES = "in some orders"
    NO = "no"
    UNKNOWN = "unknown"
    """The orders could not all be walked: never taken as yes."""

    @property
    def gap(self) -> bool:
        """Whether somebody must look at it."""
        return self in {Mark.SOMETIMES, Mark.NO, Mark.UNKNOWN}


@dataclass(frozen=True, slots=True)
class Deed:
    """What brings something about: a step, with the device or gauge that it uses."""

    step: str | None
    """Path id; None where it is so from the beginning."""
    part: str


@dataclass(frozen=True, slots=True)
class Cell:
    """One aspect of one row."""

    aspect: Aspect
    mark: Mark
    by: tuple[Deed, ...] = ()
    """Every deed that brings it about in some order, in file order of the steps."""
    why: str = ""
    """Why it is not asked; on whose word it rests; what is wrong."""
    trace: tuple[Move, ...] = ()
    """A shortest run on which it does not hold, its last step included."""


@dataclass(frozen=True, slots=True)
class Row:
    """One energy at one part that is opened or uncovered, or that stands beside one that is."""

    part: str
    energy: str
    beside: str | None
    """The wet part whose opening brings people near this one; None where it is opened itself."""
    exposed_by: tuple[str, ...]
    """The steps that open or uncover the part, in file order; none where it is found open."""
    run: tuple[Move, ...]
    """A shortest run to the first of them."""
    cells: tuple[Cell, ...]

    @property
    def gaps(self) -> tuple[Cell, ...]:
        """The cells that somebody must look at."""
        return tuple(cell for cell in self.cells if cell.mark.gap)

    @property
    def told(self) -> tuple[tuple[str, Cell], ...]:
        """Its gaps in words, those that one run shows together, with the first cell of each."""
        alike: dict[tuple[Mark, tuple[Move, ...]], list[Cell]] = {}
        for cell in self.gaps:
            alike.setdefault((cell.mark, cell.trace), []).append(cell)
        often = {Mark.SOMETIMES: " in some orders", Mark.UNKNOWN: ", or not known"}
        return tuple(
            (f"not {', not '.join(cell.aspect.value for cell in cells)}{often.get(mark, '')}", cells[0])
            for (mark, _), cells in alike.items()
        )

    def cell(self, aspect: Aspect) -> Cell:
        """The cell of an aspect."""
        return next(cell for cell in self.cells if cell.aspect is aspect)


@dataclass(frozen=True, slots=True)
class Coverage:
    """All rows of a case: parts in file order of the unit, energies in that of their list."""

    rows: tuple[Row, ...]
    walked: bool
    """Whether every order was walked; if not, no cell is better than unknown."""
