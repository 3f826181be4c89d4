"""A unit looked over: its network drawn, what its devices reach, its blind spots."""

from __future__ import annotations

from dataclasses import dataclass

from proctool.draft.writing.survey import survey
from proctool.library import Library
from proctool.model.survey import Survey
from proctool.network.reach import Network
from proctool.report.survey import to_json, to_text
from proctool.report.text import WIDTH, Paint, plain


@dataclass(frozen=True, slots=True)
class Surveyed:
    """What `show UNIT` tells."""

    survey: Survey

    def to_text(self, *, width: int = WIDTH, paint: Paint = plain) -> str:
        """The report for people."""
        return to_text(self.survey, width=width, paint=paint)

    def to_json(self) -> str:
        """The report for programs."""
        return to_json(self.survey)

    def to_svg(self) -> str:
        """The energy diagram, as a file of its own."""
        from proctool.render.pictures.diagram import energy_diagram  # noqa: PLC0415 - heavy; only who asks pays
        from proctool.render.pictures.svg import svg  # noqa: PLC0415 - as above

        return f"{svg(energy_diagram(self.survey.unit))}\n"


def surveyed(library: Library, unit: str) -> Surveyed:
    """Look a unit of a library over.

    Raises:
        KeyError: the library has no such unit that could be read.
    """
    return Surveyed(survey(Network(library.units.whole[unit])))
