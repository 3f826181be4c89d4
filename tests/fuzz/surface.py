"""What a way in is."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Surface:
    """One way in."""

    what: str
    """What may come in there."""
    feed: Callable[[bytes], None]
    """Makes an input out of bytes and puts it in; fails where something does not hold."""
    seconds: float
    """Most time of the processor that one input may take."""
    examples: int
    """How many inputs each run of the tests tries."""
    size: int = 400
    """Most bytes of one input."""
