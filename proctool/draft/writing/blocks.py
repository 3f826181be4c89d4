"""A draft by the library's own blocks: which of them make a unit safe, and which bring it back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Mapping as ReadOnly

from proctool.draft.writing import why
from proctool.draft.writing.phrasebook import Phrases, steps_of
from proctool.draft.writing.way import Way
from proctool.draft.writing.written import Entry, Fallback, Group
from proctool.model.procedure import Block, Procedure
from proctool.network.reach import Network

_SAFE = frozenset({"isolate", "verify_zero"})
_BACK = frozenset({"unlock", "restore"})
_ROUNDS = 2


def pairs(blocks: ReadOnly[str, Block], procedures: Sequence[Procedure]) -> Iterator[tuple[str, str]]:
    """Blocks that take `opens`: one that makes safe, one that brings back; those used together come first."""
    verbs = {
        name: {act.verb.text for entry in steps_of(block.entries, blocks) for act in entry.acts}
        for name, block in blocks.items()
        if [take.text for take in block.takes] == ["opens"]
    }
    safe = [name for name, found in verbs.items() if found >= _SAFE and not found & _BACK]
    back = [name for name, found in verbs.items() if found >= _BACK]
    used = [
        {entry.block.text for entry in steps_of(procedure.entries, {}) if entry.block is not None}
        for procedure in procedures
    ]
    every = [(one, other) for one in safe for other in back]
    together = [pair for pair in every if any(set(pair) <= names for names in used)]
    yield from dict.fromkeys((*together, *every))


def with_blocks(
    network: Network, way: Way, work: Group, pair: tuple[str, str], phrases: Phrases
) -> tuple[Entry, ...]:
    """The steps of a draft that uses two blocks; why they choose what they choose stands above the first."""
    safe, back = pair
    again = Fallback((Group(safe, use=safe),), back_to=work.id, at_most=_ROUNDS,
                     then=Fallback(end_here=phrases.given_up))  # fmt: skip
    return (
        Group(safe, use=safe, why=tuple(_reasons(network, way))),
        work,
        Group(back, use=back, otherwise=again),
    )


def _reasons(network: Network, way: Way) -> Iterator[str]:
    for name in way.isolators:
        yield from why.of_isolator(network, way, name)
    for name in way.vents:
        yield from why.of_vent(network, way, name)
    for sight in way.sights:
        yield why.of_sight(network, sight)
