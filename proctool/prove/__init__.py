"""The proof: over every order that the plan allows, is any rule of energy, leak or graph broken?

Stages and their modules: `setup` (what does not change), `state` (what does), `charge` (what is live, trapped,
zero), `acts` (what each act does and asks), `after` (what is asked after every act), `needs`, `ends`, `frames`
(which steps may come next), `explore` (all orders), `replay` (one order), `orders` (how many there are).
"""

from proctool.prove.explore import DEFAULT_BUDGET, prove
from proctool.prove.replay import Replay, replay

__all__ = ["DEFAULT_BUDGET", "Replay", "prove", "replay"]
