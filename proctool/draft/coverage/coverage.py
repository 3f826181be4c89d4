"""The coverage of a plan: what keeps each energy from each opened part, and which step brings that about.

Every answer is the proof's own: charges, reach, locks and debts at every moment of every order (`moments`,
`evidence`). Nothing is taken from texts, titles or names of blocks. The facts asked for are those of 29 CFR
1910.147(d) and (e): isolated (d)(3), locked (d)(4), relieved (d)(5), verified (d)(6), given back (e).

Two readings are stricter than the verdict: electricity beside a wet part must be locked off too while that
part stands open, and whatever cannot be walked whole is unknown.

The proof's shortcut, branches that share nothing walked one after the other, would be wrong here. Two
branches that each close a valve which is closed already change nothing that the other reads, and yet either
may be the one that did it last; and a row asks at every moment about all that stands open, whichever branch
moves. With both counted as shared, nearly all branches of one line are joined, and nothing is gained.
"""

from __future__ import annotations

from proctool.draft.coverage.exposures import Key, keys
from proctool.draft.coverage.moments import Moments
from proctool.draft.coverage.tallies import Survey
from proctool.model.coverage import Aspect, Cell, Coverage, Deed, Mark, Row
from proctool.model.plan import Plan

_NOT_WALKED = "there are more orders than could be walked"
_NOT_REACHED = "no order comes to the step that opens it"


def coverage(plan: Plan, *, budget: int) -> Coverage:
    """Every part that is opened or uncovered, and what stands beside it, with each of its energies.

    Cost: a plain walk over all pairs of (done steps, state), and a few reaches at each moment at which
    something stands open. Where more than `budget` pairs are met every cell is unknown.
    """
    moments = Moments(plan, budget=budget)
    exposed = keys(moments.setup, moments.steps)
    survey = Survey(moments, exposed)
    if moments.walked:
        survey.done()
    writer = _Rows(survey)
    return Coverage(tuple(writer.row(key, steps) for key, steps in exposed.items()), moments.walked)


class _Rows:
    """Puts rows together from a survey."""

    def __init__(self, survey: Survey) -> None:
        self._survey, self._setup = survey, survey.setup
        self._rank = {step.id: i for i, step in enumerate(survey.moments.steps)}

    def row(self, key: Key, steps: list[str]) -> Row:
        """The row of a key; `steps` expose its part."""
        ids, first = self._setup.network.ids, self._survey.first.get(key)
        return Row(
            part=ids[key.place],
            energy=self._setup.carriers[key.carrier].id,
            beside=ids[key.beside] if key.beside >= 0 else None,
            exposed_by=tuple(dict.fromkeys(steps)),
            run=first.run if first is not None else (),
            cells=tuple(self._cell(key, aspect, steps) for aspect in Aspect),
        )

    def _cell(self, key: Key, aspect: Aspect, steps: list[str]) -> Cell:
        if not self._survey.moments.walked:
            return Cell(aspect, Mark.UNKNOWN, why=_NOT_WALKED)
        if steps and key not in self._survey.first:
            return Cell(aspect, Mark.NOT_ASKED, why=_NOT_REACHED)
        return self._survey.tally(key, aspect).cell(aspect, self._order, self._unasked(key, aspect))

    def _order(self, deed: Deed) -> tuple[int, int]:
        return self._rank.get(deed.step or "", -1), self._setup.network.place[deed.part]

    def _unasked(self, key: Key, aspect: Aspect) -> str:
        """Why an aspect was never asked."""
        if aspect is Aspect.LEAK_CHECKED and not self._setup.carriers[key.carrier].energy.fluid:
            return "no fluid"
        if aspect is Aspect.LEAK_CHECKED and key.beside >= 0:
            return "not opened here"
        return "only its cover comes off" if key in self._survey.first else "found open"
