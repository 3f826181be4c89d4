"""Judge a case: a task that anybody may do, for it hangs on nothing but what it is given."""

from __future__ import annotations

from proctool.casework import Asked, Bench, carry, lost
from proctool.model.finding import Finding, Level
from proctool.results import Outcome


def judged(bench: Bench, asked: Asked) -> Outcome:
    """The outcome of a case. A fault of ours leaves the case unproven, and says so."""
    try:
        return carry(bench, asked).outcome
    except Exception as error:  # noqa: BLE001 - one such case must not take the others with it
        return unfinished(asked, f"a fault of proctool ({type(error).__name__}: {error})")


def unfinished(asked: Asked, why: str) -> Outcome:
    """The outcome of a case that could not be worked out: nothing is proven."""
    written = asked.procedure
    finding = Finding(
        "file/limit",
        Level.ERROR,
        f"This could not be worked out: {why}.",
        written.span.file,
        written.span,
        procedure=written.name,
        unit=asked.unit.id,
    )
    return lost(written.name, asked.unit.id, (finding,)).outcome
