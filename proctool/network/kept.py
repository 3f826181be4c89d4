"""What follows from a unit alone, worked out once for all cases of a library on that unit."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import TypeVar

from proctool.model.unit import Unit
from proctool.network.reach import Network

Found = TypeVar("Found")

_UNITS = 256
"""Units of which something is kept at once; the one that was not asked for longest goes first."""


def per_unit(work: Callable[[Unit], Found]) -> Callable[[Unit], Found]:
    """A function of a unit that keeps what it found, by the identity of the unit, which never changes."""
    # The unit is kept beside, so that no other can get its id.
    kept: OrderedDict[int, tuple[Unit, Found]] = OrderedDict()

    def ask(unit: Unit) -> Found:
        key = id(unit)
        if key not in kept:
            kept[key] = unit, work(unit)
            if len(kept) > _UNITS:
                kept.popitem(last=False)
        else:
            kept.move_to_end(key)
        return kept[key][1]

    return ask


network_of = per_unit(Network)
"""The network of a unit, with the reaches that were asked of it before."""
