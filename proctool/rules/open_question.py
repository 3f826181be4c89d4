"""What only a person can know of the new unit is answered before the draft of `adapt` is used.

It is no rule of a check: `adapt` alone tells it, as an error where the draft cannot stand without the answer,
else as a warning, and a comment `# OPEN` marks the place. Nothing lowers it and no deviation covers it.

Why: A part that stands for two others, a time taken on another model, a picture of another machine: what
seems to fit is copied, and the next person takes it for looked at.

Source: Common practice, no source: that a procedure is gone through on the machine itself before it is used.

Bad::

    # OPEN: How long does the work take on KW-8? It takes 30 min on KW-4.
    time: 30 min

Good::

    time: 45 min
"""

from proctool.model.adapting import OPEN_QUESTION
from proctool.rules.rule import Rule

RULE = Rule(OPEN_QUESTION, page=__doc__)
