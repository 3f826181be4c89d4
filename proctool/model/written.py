"""What a procedure as written draws on: entries inside entries, blocks inside blocks, pictures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly

from proctool.model.document import Scalar
from proctool.model.procedure import Block, Entry, Procedure, WrittenOtherwise


def every_entry(entries: Iterable[Entry]) -> Iterator[Entry]:
    """Some entries and all within them, those of their `otherwise` and `then` too."""
    for entry in entries:
        yield entry
        yield from every_entry(entry.entries)
        otherwise: WrittenOtherwise | None = entry.otherwise
        while otherwise is not None:
            yield from every_entry(otherwise.entries)
            otherwise = otherwise.then


def blocks_used(procedure: Procedure, blocks: ReadOnly[str, Block]) -> dict[str, Block]:
    """The blocks that a procedure is made of, those that they use too, in the order of their names."""
    used: dict[str, Block] = {}
    waiting = [procedure.entries]
    while waiting:
        for entry in every_entry(waiting.pop()):
            name = entry.block.text if entry.block is not None else ""
            if name in blocks and name not in used:
                used[name] = blocks[name]
                waiting.append(blocks[name].entries)
    return dict(sorted(used.items()))


def figures_named(procedure: Procedure, blocks: Iterable[Block]) -> tuple[str, ...]:
    """The files of the pictures that a procedure and some blocks name, each once."""
    written = (procedure.entries, *(block.entries for block in blocks))
    named = (
        e.figure.get("file") for entries in written for e in every_entry(entries) if e.figure is not None
    )
    return tuple(dict.fromkeys(file.text for file in named if isinstance(file, Scalar)))
