"""Tasks for workers that end in the middle of one; of a module of their own, for workers import them."""

from __future__ import annotations

import os
from pathlib import Path


def ends_at(fatal: int, item: int) -> int:
    """Twice the item; the worker ends at the fatal one."""
    if item == fatal:
        os._exit(3)
    return 2 * item


def ends_once(mark: Path, item: int) -> int:
    """Twice the item; the first worker that meets the item 5 ends."""
    if item == 5 and not mark.exists():
        mark.touch()
        os._exit(3)
    return 2 * item
