"""The proof: over every order that the plan allows, whether any rule of energy, leak or graph is broken.

Modules: `setup` (what does not change), `state` (what does), `charge` (what is live, trapped, zero), `acts`
and `zero` (what each act does and asks), `report` (what it breaks), `after` (what is asked after every act),
`words` and `ends`, `step` and `effects` (what a step does, kept), `frames` (which steps may come next),
`replay` (one order), `orders` (how many there are).

`plain` walks all orders and takes no shortcut. `explore` gives the same answer sooner: `bounds`, `things`,
`touch` and `touch_acts` say what a step can read and write, `apart` which steps share nothing, `course` and
`sweep` walk those one branch after the other, `shortest`, `worst` and `confluence` put together from the
branches the traces, the charges beside each step, and whether all orders end alike. `watch` walks the orders
for what a library asks of its own.

`story` tells a finding: `breaks` finds the moment its rule breaks, `mends` what would mend it (`mend_energy`
and `mend_debts` rule by rule, `remedies` what these are made of, `phrases` their words).
"""

from proctool.prove.effects import Effects
from proctool.prove.explore import prove, prove_breaches
from proctool.prove.replay import Replay, replay
from proctool.prove.shortcuts import ALL, PLAIN, Shortcuts
from proctool.prove.story import explained
from proctool.prove.watch import watch, watch_each

__all__ = [
    "ALL",
    "PLAIN",
    "Effects",
    "Replay",
    "Shortcuts",
    "explained",
    "prove",
    "prove_breaches",
    "replay",
    "watch",
    "watch_each",
]
