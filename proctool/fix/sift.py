"""Which of many changes can be made together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

_Item = TypeVar("_Item")


def sifted(
    items: Sequence[_Item], fault: Callable[[list[_Item]], str | None]
) -> tuple[list[_Item], list[tuple[_Item, str]]]:
    """The items that can be taken together, and the others, each with its fault.

    All are tried at once, then the halves of what has a fault: few tries where few are at fault.
    """
    kept: list[_Item] = []
    refused: list[tuple[_Item, str]] = []
    waiting = [list(items)] if items else []
    while waiting:
        batch = waiting.pop()
        why = fault([*kept, *batch])
        if why is None:
            kept += batch
        elif len(batch) == 1:
            refused.append((batch[0], why))
        else:
            half = len(batch) // 2
            waiting += (batch[half:], batch[:half])
    return kept, refused
