"""The proof: over every order that the plan allows, whether any rule of energy, leak or graph is broken.

Modules: `setup` (what does not change), `state` (what does), `charge` (what is live, trapped, zero), `acts`
and `zero` (what each act does and asks), `report` (what it breaks), `after` (what is asked after every act),
`words` and `ends`, `step`, `frames` (which steps may come next), `explore` (all orders), `confluence` (do
they end alike), `watch` (a monitor over all orders), `replay` (one order), `orders` (how many there are).
"""

from proctool.prove.explore import prove
from proctool.prove.replay import Replay, replay
from proctool.prove.watch import watch

__all__ = ["Replay", "prove", "replay", "watch"]
