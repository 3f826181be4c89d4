"""Who does the work: this process alone, or several of this machine.

A task is a plain function of what all share and of one item, and gives something small back. Whoever does it,
the results come in the order of the items.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from itertools import chain, islice
from multiprocessing import get_all_start_methods, get_context
from multiprocessing.context import BaseContext
from typing import Any, ClassVar, Protocol, TypeVar

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

AHEAD = 4
"""Tasks handed out ahead for each worker: none waits, and the memory does not grow with the library."""


class LostError(Exception):
    """A worker ended in the middle of a task, and again when it was tried alone."""


class Crew(Protocol):
    """Who does tasks."""

    here: ClassVar[bool]
    """Whether its workers are on this machine, and so may look into its store."""

    def each(
        self,
        task: Callable[[S, T], R],
        shared: S,
        items: Iterable[T],
        lost: Callable[[T, LostError], R],
        *,
        least: int = 2,
    ) -> Iterator[R]:
        """The result of each item, in order; `lost` gives that of one whose workers ended without any.

        Fewer items than `least` are not worth others' beginning.
        """


@dataclass(frozen=True, slots=True)
class Alone:
    """This process, one task after the other."""

    here: ClassVar[bool] = True

    def each(
        self,
        task: Callable[[S, T], R],
        shared: S,
        items: Iterable[T],
        lost: Callable[[T, LostError], R],  # noqa: ARG002 - nobody else is there to be lost
        *,
        least: int = 2,  # noqa: ARG002 - nobody else is begun
    ) -> Iterator[R]:
        """As `Crew.each`."""
        return (task(shared, item) for item in items)


@dataclass(frozen=True, slots=True)
class Pool:
    """Processes of this machine."""

    workers: int
    here: ClassVar[bool] = True

    def each(
        self,
        task: Callable[[S, T], R],
        shared: S,
        items: Iterable[T],
        lost: Callable[[T, LostError], R],
        *,
        least: int = 2,
    ) -> Iterator[R]:
        """As `Crew.each`. Closing the iterator ends the workers; what they were doing is let go."""
        coming = iter(items)
        first = list(islice(coming, least))
        if len(first) < least:
            yield from Alone().each(task, shared, first, lost)
            return
        coming = chain(first, coming)
        while True:
            waiting: deque[tuple[T, Future[R]]] = deque()
            pool = _pool(self.workers, task, shared)
            try:
                while True:
                    for item in islice(coming, self.workers * AHEAD - len(waiting)):
                        waiting.append((item, pool.submit(_do, item)))
                    if not waiting:
                        return
                    result = waiting[0][1].result()
                    waiting.popleft()
                    yield result
            except BrokenProcessPool:
                pass  # any of those under way may have been the one: each again, by itself
            finally:
                pool.shutdown(wait=True, cancel_futures=True)
            yield from (self._by_itself(task, shared, item, lost) for item, _ in waiting)

    def _by_itself(
        self, task: Callable[[S, T], R], shared: S, item: T, lost: Callable[[T, LostError], R]
    ) -> R:
        with _pool(1, task, shared) as pool:
            try:
                done: Future[R] = pool.submit(_do, item)
                return done.result()
            except BrokenProcessPool as error:
                return lost(item, LostError(str(error)))


def crew(workers: int | None = None) -> Crew:
    """As many workers as asked for, by default as many as this process may use processors."""
    many = workers or _processors()
    return Pool(many) if many > 1 else Alone()


def _processors() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


_job: tuple[Callable[[Any, Any], Any], Any] | None = None
"""In a worker: its task, and what all share."""


def _pool(workers: int, task: Callable[[S, T], R], shared: S) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, mp_context=_context(), initializer=_begin, initargs=(task, shared))


def _context() -> BaseContext:
    """Workers begun clean of this process's threads and files; where it can be, imports are done once."""
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(["proctool.judging", "proctool.printing"])
    return context


def _begin(task: Callable[[S, T], R], shared: S) -> None:
    global _job  # noqa: PLW0603 - a worker is begun once
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who stops the work is the process that shared it out
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    _job = task, shared


def _end_with(parent: int) -> None:
    """End this worker once the process that began it is gone, killed perhaps: nobody waits for it then."""
    while os.getppid() == parent:
        time.sleep(1)
    os._exit(1)


def _do(item: Any) -> Any:  # noqa: ANN401 - whatever the task takes and gives
    if _job is None:
        raise RuntimeError("a worker was not begun")
    task, shared = _job
    return task(shared, item)
