"""Looking on while work is done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

T = TypeVar("T")


class Watch(Protocol):
    """Sees each piece of some work as it is done, to show progress."""

    def __call__(self, label: str, many: int, done: Iterator[T]) -> Iterable[T]:
        """The pieces, one by one; `label` says what is done, `many` how many there are."""


def unwatched(label: str, many: int, done: Iterator[T]) -> Iterable[T]:
    """Shows nothing."""
    return done
