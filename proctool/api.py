"""The public face of proctool: open a library, check it, resolve it, build it."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from proctool.baseline import BaselineError, read_baseline, write_baseline
from proctool.crew import Crew, crew
from proctool.keeping import Means
from proctool.kept.store import open_store
from proctool.library import Library, SlipWatch
from proctool.publish.atomic import write as write_file
from proctool.report.baseline import Baseline
from proctool.results import FORMATS, Built, Case, Check, Slips
from proctool.rules.packs import RULES
from proctool.source.files import bearing_on, collect
from proctool.watch import Watch

if TYPE_CHECKING:
    from proctool.adaptable import AdaptError, answers_in
    from proctool.adapting import Adaptation, adapted
    from proctool.auditing import AUDIT_FORMATS, Audits, audited
    from proctool.cluster import Cluster, ClusterError, Papers
    from proctool.comparing import Compared, CompareError, compared
    from proctool.draft.writing.entries import Named, named
    from proctool.draft.writing.new_unit import UNIT_WORDS, Fluid, NewUnit
    from proctool.drafting import Drafted, DraftOrder, draft, write_draft
    from proctool.fix import Fixed
    from proctool.fix.diff import unified
    from proctool.fix.disk import write_fixed
    from proctool.publish.start import NotEmptyError, new_library
    from proctool.rules.explain import PAGES, explained, listed
    from proctool.starting import Started, start_procedure, start_round, start_unit
    from proctool.surveying import Surveyed, surveyed
    from proctool.tables.given import Given
    from proctool.tabling import Tabled, tabled, tabled_given

__all__ = [
    "AUDIT_FORMATS",
    "FORMATS",
    "PAGES",
    "RULES",
    "UNIT_WORDS",
    "AdaptError",
    "Adaptation",
    "Audits",
    "Baseline",
    "BaselineError",
    "Built",
    "Case",
    "Check",
    "Cluster",
    "ClusterError",
    "CompareError",
    "Compared",
    "Crew",
    "DraftOrder",
    "Drafted",
    "Fixed",
    "Fluid",
    "Given",
    "Library",
    "Means",
    "Named",
    "NewUnit",
    "NotEmptyError",
    "OpenError",
    "Papers",
    "SlipWatch",
    "Slips",
    "Started",
    "Surveyed",
    "Tabled",
    "Watch",
    "adapted",
    "answers_in",
    "audited",
    "compared",
    "crew",
    "draft",
    "explained",
    "listed",
    "named",
    "new_library",
    "open_library",
    "open_store",
    "read_baseline",
    "start_procedure",
    "start_round",
    "start_unit",
    "surveyed",
    "tabled",
    "tabled_given",
    "unified",
    "write_baseline",
    "write_draft",
    "write_file",
    "write_fixed",
]


_LATER = {
    "proctool.adaptable": "AdaptError answers_in",
    "proctool.adapting": "Adaptation adapted",
    "proctool.cluster": "Cluster ClusterError Papers",
    "proctool.auditing": "AUDIT_FORMATS Audits audited",
    "proctool.comparing": "Compared CompareError compared",
    "proctool.draft.writing.entries": "Named named",
    "proctool.draft.writing.new_unit": "UNIT_WORDS Fluid NewUnit",
    "proctool.drafting": "Drafted DraftOrder draft write_draft",
    "proctool.fix": "Fixed",
    "proctool.fix.diff": "unified",
    "proctool.fix.disk": "write_fixed",
    "proctool.publish.start": "NotEmptyError new_library",
    "proctool.rules.explain": "PAGES explained listed",
    "proctool.starting": "Started start_procedure start_round start_unit",
    "proctool.surveying": "Surveyed surveyed",
    "proctool.tables.given": "Given",
    "proctool.tabling": "Tabled tabled tabled_given",
}
"""Names that some commands need, by module: imported when first used, so that each command starts quickly."""


def __getattr__(name: str) -> Any:  # noqa: ANN401 - whatever the name stands for
    for module, names in _LATER.items():
        if name in names.split():
            return getattr(import_module(module), name)
    raise AttributeError(f"module `proctool.api` has no attribute `{name}`")


class OpenError(Exception):
    """A library that cannot be opened at all: no such folder, no library file. The text says what to do."""


def open_library(path: str | Path, *, alone: bool = False) -> Library:
    """Read the library at a folder, or around a file in it.

    With `alone` a procedure's file is read without the other procedures, as if there were none: quick in a
    large library, and what is found in the procedure is the same.

    Raises:
        OpenError: there is no library there. Faults inside its files are findings, never exceptions.
    """
    collected = collect(Path(path))
    if collected.problem is not None:
        raise OpenError(collected.problem)
    files = bearing_on(collected.focus, collected.files) if alone else collected.files
    return Library(files, root=collected.root, focus=collected.focus, findings=collected.findings)
