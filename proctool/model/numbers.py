"""The numbers of steps, as `show` counts them: main steps from 1, those under a check below its number."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly

from proctool.model.coverage import Deed
from proctool.model.finding import Move
from proctool.model.plan import BackTo, Frame, Plan


def numbers(plan: Plan) -> dict[str, str]:
    """The number of every step by its path id."""
    return dict(_numbered(plan.frame, "", 1))


def _numbered(frame: Frame, prefix: str, first: int) -> Iterator[tuple[str, str]]:
    for place, step in enumerate(frame.steps, start=first):
        yield step.id, f"{prefix}{place}"
        under, otherwise = 1, step.otherwise
        while otherwise is not None:
            yield from _numbered(otherwise.frame, f"{prefix}{place}.", under)
            under += len(otherwise.frame.steps)
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def parted(by: Iterable[Deed], known: ReadOnly[str, str]) -> tuple[tuple[Deed, ...], tuple[Deed, ...]]:
    """Deeds of main steps and of what is so as found; and deeds of steps that only follow a failed check."""
    main: list[Deed] = []
    later: list[Deed] = []
    for deed in by:
        (later if deed.step is not None and "." in known[deed.step] else main).append(deed)
    return tuple(main), tuple(later)


def run(moves: Iterable[Move], known: ReadOnly[str, str]) -> str:
    """A run by the numbers of its steps, runs of numbers drawn together: `1 to 4, 6 fails, 6.1`."""
    told: list[str] = []
    span: list[int] = []

    def close() -> None:
        if span:
            told.append(f"{span[0]}" if len(span) == 1 else f"{span[0]} to {span[-1]}")
            span.clear()

    for move in moves:
        number = known[move.step]
        if move.passed is not False and number.isdigit():
            if span and int(number) != span[-1] + 1:
                close()
            span.append(int(number))
            continue
        close()
        told.append(f"{number} fails" if move.passed is False else number)
    close()
    return ", ".join(told)
