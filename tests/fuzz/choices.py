"""Decisions read off bytes, so that one byte string is one input, whoever made it: a property test, a
coverage-guided fuzzer, or a file kept from an earlier failure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")


class Choices:
    """Reads decisions from the front; where the bytes are used up, each decision is the first possible."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._at = 0

    def below(self, end: int) -> int:
        """A whole number from 0, less than `end`."""
        size = ((max(end, 1) - 1).bit_length() + 7) // 8
        return int.from_bytes(self.take(size), "big") % max(end, 1)

    def pick(self, items: Sequence[T]) -> T:
        """One of the items."""
        return items[self.below(len(items))]

    def times(self, most: int) -> Iterator[int]:
        """A loop of 1 to `most` rounds."""
        return iter(range(1 + self.below(most)))

    def take(self, size: int) -> bytes:
        """The next bytes, fewer where there are no more."""
        piece = self._data[self._at : self._at + size]
        self._at += size
        return piece

    def text(self, most: int) -> str:
        """Up to `most` characters, each from the whole of Unicode."""
        raw = self.take(2 * self.below(most + 1))
        return raw.decode("utf-16-be", "surrogatepass" if self.below(8) == 7 else "ignore")
