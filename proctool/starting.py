"""New files of a library: a unit or a procedure that passes the library's check as soon as it is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from proctool.draft.writing.new_procedure import procedure_file, retitled
from proctool.draft.writing.new_unit import NewUnit, unit_file
from proctool.draft.writing.phrasebook import fitting_for
from proctool.draft.writing.sheet import people_of
from proctool.draft.writing.survey import survey
from proctool.drafting import Drafted, DraftOrder, draft
from proctool.library import Library
from proctool.model.finding import Finding
from proctool.model.unit import Unit
from proctool.network.reach import Network
from proctool.results import Check


@dataclass(frozen=True, slots=True)
class Started:
    """A new file, and what the library's check finds of it."""

    file: str
    """Where it stands in the library."""
    text: str
    check: Check
    """Only what concerns it: its own findings, and those of each procedure on it."""
    unopened: tuple[str, ...] = ()
    """What holds energy on a new unit and cannot be opened safely as it is told."""

    @property
    def passed(self) -> bool:
        """Whether it has no error, and each procedure that is for it is proven."""
        return self.check.passed


def start_unit(library: Library, new: NewUnit, file: str) -> Started:
    """A new unit, checked with every procedure of the library that is for it.

    Raises:
        ValueError: what is joined or said names a part that the unit has not; the text says what to do.
    """
    text = unit_file(new)
    if new.bypasses or new.tanks or new.said:
        plain = _with(library, file, text).units.whole.get(new.name)
        text = text if plain is None else unit_file(new, plain)
    whole = _with(library, file, text)
    check = _of(whole.check(unit=new.name), file, lambda finding: finding.unit == new.name)
    unit = whole.units.whole.get(new.name)
    return Started(file, text, check, () if unit is None else _unopened(unit))


def _unopened(unit: Unit) -> tuple[str, ...]:
    blind = (part for spot in survey(Network(unit)).blind for part in spot.parts)
    return tuple(unit.parts[part].label for part in blind if unit.parts[part].holder)


def start_procedure(library: Library, order: DraftOrder, title: str) -> Started | Drafted:
    """A new procedure that opens parts: by blocks of the library that prove safe, else written out.

    What came of drafting where there is none that is safe.

    Raises:
        KeyError: as `draft`.
        ValueError: as `draft`.
    """
    made = draft(library, replace(order, blocks=True))
    if not made.proposals:
        made = draft(library, replace(order, blocks=False))
    if not made.proposals:
        return made
    text = made.text()
    return _checked(library, order.name, order.unit, order.file, retitled(text, title) if title else text)


def start_round(
    library: Library, name: str, unit: str, file: str, title: str, steps: Sequence[str]
) -> Started:
    """A new procedure that opens nothing, of steps as they are told.

    Raises:
        KeyError: the library has no such unit that could be read.
    """
    fitting = fitting_for(library.units.whole[unit], library.procedures.values())
    known = library.file.people if library.file is not None else {}
    people = people_of((tuple(n.text for n in p.people) for p in fitting), known)
    return _checked(library, name, unit, file, procedure_file(name, title, unit, people, steps))


def _checked(library: Library, name: str, unit: str, file: str, text: str) -> Started:
    check = _with(library, file, text).check(procedure=name, unit=unit)
    return Started(file, text, _of(check, file, lambda finding: finding.procedure == name))


def _with(library: Library, file: str, text: str) -> Library:
    return Library({**library.files, file: text.encode()}, root=library.root)


def _of(check: Check, file: str, concerned: Callable[[Finding], bool]) -> Check:
    own = tuple(finding for finding in check.findings if finding.file == file or concerned(finding))
    return replace(check, findings=own)
