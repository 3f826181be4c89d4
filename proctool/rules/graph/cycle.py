"""The order of the steps goes round in no circle.

Why: If each of two steps waits for the other, nobody can do either.

Source: Common practice, no source.

Bad::

    steps:
      - do: Put the bucket under the <drain>.
        id: bucket
        after: [cloth]
      - do: Lay the cloth round the bucket.
        id: cloth
        after: [bucket]

Good::

    steps:
      - do: Put the bucket under the <drain>.
        id: bucket
        after: []
      - do: Lay the cloth round the bucket.
        id: cloth
        after: [bucket]
"""

from proctool.rules.rule import Rule

RULE = Rule("graph/cycle", page=__doc__, never=True)
