"""An id stands for one step of its list, a tag for one part.

Why: `after`, `back_to` and deviations name steps by their ids, and people name parts by their tags. What
stands for two things stands for neither.

Source: Common practice, no source.

Bad::

    steps:
      - do: Wipe the <housing>.
      - do: Wipe the <pump>.

Good::

    steps:
      - do: Wipe the <housing>.
        id: wipe-housing
      - do: Wipe the <pump>.
        id: wipe-pump
"""

from proctool.rules.rule import Rule

RULE = Rule("graph/duplicate-id", page=__doc__, never=True)
