"""Who does the work: this process alone, or several of this machine.

A task is a plain function of what all share and of one item, and gives something small back. Whoever does it,
the results come in the order of the items.
"""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import chain, islice
from multiprocessing import forkserver, get_all_start_methods, get_context, resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from typing import Any, ClassVar, Generic, Protocol, TypeVar

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

AHEAD = 4
"""Tasks handed out ahead for each worker: none waits, and the memory does not grow with the library."""


class LostError(Exception):
    """A worker ended in the middle of a task, and again when it was tried alone."""


@dataclass(frozen=True, slots=True)
class Work(Generic[S, T, R]):
    """A task and what goes with it, whoever does it."""

    task: Callable[[S, T], R]
    shared: S
    lost: Callable[[T, LostError], R]
    """The result of an item whose workers ended without any."""
    least: int = 2
    """Fewer items are not worth others' beginning."""


class Crew(Protocol):
    """Who does tasks."""

    here: ClassVar[bool]
    """Whether its workers are on this machine, and so may look into its store."""

    def each(self, work: Work[S, T, R], items: Iterable[T]) -> Iterator[R]:
        """The result of each item, in order."""

    def close(self) -> None:
        """Let go of what is still under way."""


@dataclass(frozen=True, slots=True)
class Alone:
    """This process, one task after the other."""

    here: ClassVar[bool] = True

    def each(self, work: Work[S, T, R], items: Iterable[T]) -> Iterator[R]:
        """As `Crew.each`."""
        return (work.task(work.shared, item) for item in items)

    def close(self) -> None:
        """As `Crew.close`."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Processes of this machine."""

    workers: int
    here: ClassVar[bool] = True
    _ropes: set[Connection] = field(default_factory=set, init=False, repr=False, compare=False)
    """What workers hang on that are under way."""

    def each(self, work: Work[S, T, R], items: Iterable[T]) -> Iterator[R]:
        """As `Crew.each`. Closing the iterator ends the workers; what they were doing is let go."""
        coming = iter(items)
        first = list(islice(coming, work.least))
        if len(first) < work.least:
            yield from Alone().each(work, first)
            return
        coming = chain(first, coming)
        under_way: deque[T] = deque()
        while True:
            found: deque[Future[R]] = deque()
            with self._pool(self.workers, work) as pool, suppress(BrokenProcessPool):
                while True:
                    for item in islice(coming, self.workers * AHEAD - len(under_way)):
                        under_way.append(item)  # first, so that it is not forgotten whatever happens
                        found.append(_handed(pool, item))
                    if not under_way:
                        return
                    result = found.popleft().result()
                    under_way.popleft()
                    yield result
            while under_way:  # any of them may have been the one: each again, by itself
                yield self._by_itself(work, under_way.popleft())

    def _by_itself(self, work: Work[S, T, R], item: T) -> R:
        with self._pool(1, work) as pool:
            try:
                done: Future[R] = _handed(pool, item)
                return done.result()
            except BrokenProcessPool:
                return work.lost(
                    item, LostError("its process ended in the middle of it, and again by itself")
                )

    def close(self) -> None:
        """As `Crew.close`: the workers end in the middle of it."""
        while self._ropes:
            self._ropes.pop().close()

    @contextmanager
    def _pool(self, workers: int, work: Work[S, T, R]) -> Iterator[ProcessPoolExecutor]:
        """Workers that end when this is left: by an exception, or with this process, in the middle of a task.

        Every worker holds one end of a pipe of which this process alone has the other: it hears of its going.
        """
        context = _context()
        held, rope = context.Pipe(duplex=False)
        pool = ProcessPoolExecutor(
            workers, mp_context=context, initializer=_begin, initargs=(work.task, work.shared, held)
        )
        with held, rope:
            self._ropes.add(rope)
            try:
                yield pool
                pool.shutdown()
            except BaseException:
                rope.close()
                pool.shutdown(cancel_futures=True)
                raise
            finally:
                self._ropes.discard(rope)


def crew(workers: int | None = None) -> Crew:
    """As many workers as asked for, by default as many as this process may use processors."""
    many = workers or _processors()
    return Pool(many) if many > 1 else Alone()


def _processors() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def _handed(pool: ProcessPoolExecutor, item: T) -> Future[Any]:
    """A task handed out; it may begin a worker, which a stop from the keyboard must not meet half made."""
    with _unstopped():
        return pool.submit(_do, item)


def _context() -> BaseContext:
    """Workers begun clean of this process's threads and files; where it can be, imports are done once."""
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(["proctool.judging", "proctool.printing"])
    resource_tracker.ensure_running()  # by itself, for it lets what waits through again
    with _unstopped():  # so that neither this server nor a worker hears of a stop before it can heed it
        forkserver.ensure_running()
    return context


@contextmanager
def _unstopped() -> Iterator[None]:
    """Lets a stop from the keyboard wait, for threads and processes begun meanwhile for good."""
    if not hasattr(signal, "pthread_sigmask"):  # not on every system
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_job: tuple[Callable[[Any, Any], Any], Any] | None = None
"""In a worker: its task, and what all share."""
_hands = threading.Lock()
"""In a worker: held while it takes an item or gives a result back."""
_GRACE = 2
"""Seconds for a worker to come to an end by itself, or to finish giving something back."""


def _begin(task: Callable[[S, T], R], shared: S, held: Connection) -> None:
    global _job  # noqa: PLW0603 - a worker is begun once
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who stops the work is the process that shared it out
    _job = task, shared
    _hands.acquire()
    threading.Thread(target=_end_with, args=(held,), daemon=True).start()


def _end_with(held: Connection) -> None:
    """End this worker once nobody waits for it, in the middle of a task but not of giving its result back.

    Half a result would keep the process that reads it waiting for the rest.
    """
    held.poll(None)
    _hands.acquire(timeout=_GRACE)
    os._exit(1)


def _do(item: Any) -> Any:  # noqa: ANN401 - whatever the task takes and gives
    if _job is None:
        raise RuntimeError("a worker was not begun")
    task, shared = _job
    _hands.release()
    try:
        return task(shared, item)
    finally:
        _hands.acquire()
