"""Which rows to look at by hand: a choice that anybody can repeat, and nobody can steer.

Each row is ordered by the SHA-256 of the seed, a colon and the row's key; the first ones are the sample. No
random generator is asked, so any version of any tool finds the same rows. What a clean sample says of the
rest is the hypergeometric chance of attribute sampling.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from math import comb

from proctool.model.audit import Line, Sample


def sample(lines: Sequence[Line], seed: str, many: int) -> Sample:
    """`many` rows, or all where there are fewer, in the order of the matrix."""
    ordered = sorted(lines, key=lambda line: (digest(seed, line.key), line.number))
    taken = tuple(sorted(ordered[:many], key=lambda line: line.number))
    method = (
        f"{len(taken)} of {len(lines)} rows: those with the smallest SHA-256 of `{seed}:KEY`, where KEY is "
        f"procedure/unit/part/energy and, for what stands beside an opened part, that part. Rows with a gap "
        f"are looked at in any case."
    )
    return Sample(seed, taken, method, _chance(len(lines), len(taken)))


def digest(seed: str, key: str) -> str:
    """What a row is ordered by."""
    return hashlib.sha256(f"{seed}:{key}".encode()).hexdigest()


def _chance(total: int, many: int) -> str:
    """How likely a sample shows nothing although one row in ten, rounded up, is wrong."""
    if not many:
        return "Nothing is sampled."
    if many == total:
        return "Every row is looked at."
    wrong = -(-total // 10)
    unseen = comb(total - wrong, many) / comb(total, many)
    return (
        f"If {wrong} of the {total} rows were wrong, a sample like this would show none of them with a "
        f"chance of {100 * unseen:.0f} %."
    )
