"""The sets a procedure can ask a unit for: what cuts parts off, relieves them, shows their zero.

All of them are worked out with every device in its normal state, but for the isolators and vents they name.
They propose; what is safe is settled by the proof.
"""

from __future__ import annotations

from proctool.network.gauges import gauges_of, sees
from proctool.network.isolate import Cut, isolators_of, keeps_of, runners_of
from proctool.network.origins import Uncut
from proctool.network.vents import Relief, vents_of

__all__ = [
    "Cut",
    "Relief",
    "Uncut",
    "gauges_of",
    "isolators_of",
    "keeps_of",
    "runners_of",
    "sees",
    "vents_of",
]
