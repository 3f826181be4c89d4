"""proctool: service procedures as data, with a proof that no order of their steps hurts anyone.

A library is a folder of YAML files: units (energies, parts, lines) and procedures (graphs of steps). The tool
resolves a procedure for a unit, proves over every order the steps allow that nothing is opened live, charged,
unverified or unlocked, judges texts and tables by rules with sources, and writes manuals as HTML and PDF.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from proctool.api import Library, OpenError, open_library
    from proctool.model.finding import Finding, Level

__version__ = "0.1.0"

__all__ = ["Finding", "Level", "Library", "OpenError", "__version__", "open_library"]


def __getattr__(name: str) -> Any:  # noqa: ANN401 - whatever the public name stands for
    """Public names, imported when they are first used: `proctool --version` needs none of them."""
    if name in {"Library", "OpenError", "open_library"}:
        from proctool import api  # noqa: PLC0415

        return getattr(api, name)
    if name in {"Finding", "Level"}:
        from proctool.model import finding  # noqa: PLC0415

        return getattr(finding, name)
    raise AttributeError(f"module `proctool` has no attribute `{name}`")
