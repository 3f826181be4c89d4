"""wording/unit-spacing: the quantity written with its blank: `22Nm` becomes `22 N·m`."""

from __future__ import annotations

from proctool.fix.edit import Edit, replacing
from proctool.fix.sheet import Sheet, rewritten
from proctool.model.finding import Finding
from proctool.model.spacing import quantities, spaced


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The quantity at the place of a finding, spaced."""
    found = quantities(sheet.root) if sheet.root is not None else ()
    scalar = next((one for one in found if one.span == finding.span), None)
    right = spaced(scalar.text) if scalar is not None else None
    if scalar is None or right is None:
        return None
    text = rewritten(sheet, scalar, right)
    if text is None:
        return "the quantity is not written on one line; write it there"
    return replacing(sheet, scalar.span, right, text, f"`{scalar.text}` → `{right}`")
