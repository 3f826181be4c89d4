"""The measures of `benchmarks/draft.py` in a form quick enough for every day."""

from __future__ import annotations

from benchmarks.draft import DEMO, against_check, growth, order, row
from proctool.api import draft, open_library
from proctool.draft.writing.ways import ways
from proctool.network.reach import Network


def test_drafts_and_the_check_of_their_unit_are_timed() -> None:
    ratios = against_check(open_library(DEMO), "UV-1", 1)
    assert len(ratios) == 1 and ratios[0] > 0


def test_rows_of_housings_are_drafted_safe_and_timed() -> None:
    measured, _ = growth((4, 6))
    assert [(parts, safe) for parts, _, safe in measured] == [(22, True), (32, True)]


def test_a_housing_of_a_long_row_is_cut_by_the_two_valves_beside_it() -> None:
    library = row(40)
    (proposal,) = draft(library, order("ROW", "h20")).proposals
    assert proposal.isolators == "valve 20 V20 and valve 21 V21"
    network = Network(library.units.whole["ROW"])
    assert next(ways(network, ["h20"])).cut.least
