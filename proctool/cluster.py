"""Work spread over machines by Dask: the same tasks as a pool does, with the same results.

Who speaks to the scheduler can have every machine of the cluster run anything, so both sides show
certificates (TLS); without them nothing is sent unless that was asked for in so many words. A worker gets one
case and what that hangs on, never the library's folder; what it gives back is JSON with its digest, and comes
from the very same proctool, or it is refused.
"""

from __future__ import annotations

import hashlib
import re
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, ClassVar, TypeVar, get_type_hints

from proctool.crew import AHEAD, LostError, Work
from proctool.kept.codec import decode, encode
from proctool.kept.tool import sheets, tool

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

_PATIENCE = 20
"""Seconds to wait for the scheduler, and for a first worker."""
_CLEAR = "tcp://"
_ADDRESS = re.compile(r"(?:tls|tcp)://[^\s/]+:\d+")


class ClusterError(Exception):
    """The cluster cannot be used; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Papers:
    """What proves to the scheduler who we are, and to us who it is: files in PEM format."""

    authority: Path
    """The certificate of who signs for this cluster."""
    certificate: Path
    key: Path


class Cluster:
    """Workers of a Dask scheduler. Close it when the work is done."""

    here: ClassVar[bool] = False

    def __init__(self, address: str, papers: Papers | None, *, in_the_clear: bool = False) -> None:
        """Connect to the scheduler at an address such as `tls://build.example.org:8786`.

        Raises:
            ClusterError: it cannot be reached, or nothing would protect what is sent.
        """
        _protected(address, papers, in_the_clear=in_the_clear)
        try:
            import distributed  # noqa: PLC0415 - an extra, and heavy
        except ImportError as error:
            raise ClusterError(
                "What a cluster needs is not installed. Install `proctool[cluster]`, here and on all workers."
            ) from error
        security = _security(distributed, papers)
        make: Any = distributed.Client  # it has no types
        try:
            self._client = make(address, security=security, timeout=_PATIENCE, set_as_default=False)
        except (OSError, ValueError) as error:
            raise ClusterError(f"No scheduler answers at {address}: {error}.") from error
        self._killed: type[Exception] = distributed.KilledWorker
        self._about = _about()

    def close(self) -> None:
        """Let the scheduler go; what it was still doing is dropped."""
        self._client.close()

    def each(self, work: Work[S, T, R], items: Iterable[T]) -> Iterator[R]:
        """As `Crew.each`. Tasks of a worker that is lost are done again by another."""
        kind = get_type_hints(work.task)["return"]
        coming = iter(items)
        waiting: deque[tuple[T, Any]] = deque()
        # A task of its own: if whoever holds it is lost, the scheduler has it made again.
        common = self._client.submit(_shared, work.shared, pure=False)
        while True:
            room = max(0, self._workers() * AHEAD - len(waiting))  # less than none where one was just lost
            for item in islice(coming, room):
                waiting.append((item, self._client.submit(_worked, work.task, common, item, pure=False)))
            if not waiting:
                return
            item, future = waiting.popleft()
            try:
                done = future.result()
            except (CancelledError, OSError) as error:
                raise ClusterError(f"The scheduler went away: {error}. What was done is kept.") from error
            except self._killed:
                yield work.lost(item, LostError("several workers ended in the middle of it"))
                continue
            yield self._opened(done, kind)

    def _workers(self) -> int:
        """How many there are now; waits for a first one."""
        many = len(self._client.nthreads())
        if not many:
            try:
                self._client.wait_for_workers(1, timeout=_PATIENCE)
            except TimeoutError as error:
                raise ClusterError("The scheduler has no workers. Start some, and build again.") from error
        return max(many, 1)

    def _opened(self, done: Done, kind: type[R]) -> R:
        """What a worker gave back, looked through."""
        if done.about != self._about:
            raise ClusterError(
                f"Worker {done.by} has another proctool, Python or other packages than this machine, so its "
                "pages might differ. Install the same on all of them."
            )
        if hashlib.sha256(done.data).hexdigest() != done.digest:
            raise ClusterError(f"What worker {done.by} sent arrived damaged. Build again.")
        return decode(done.data, kind)


@dataclass(frozen=True, slots=True)
class Done:
    """What a worker gives back."""

    data: bytes
    """The result as JSON."""
    digest: str
    about: str
    """What it was made with."""
    by: str


_ONE = threading.Lock()
"""Setting text is not for several threads of one process."""


def _shared(value: Any) -> Any:  # noqa: ANN401 - whatever the tasks share
    return value


def _worked(task: Callable[[S, T], R], shared: S, item: T) -> Done:
    from distributed import get_worker  # noqa: PLC0415 - only workers need it

    with _ONE:
        data = encode(task(shared, item))
    return Done(data, hashlib.sha256(data).hexdigest(), _about(), str(get_worker().address))


def _about() -> str:
    """What the bytes of a page hang on besides the case."""
    return f"{tool()} {sheets()}"


def _protected(address: str, papers: Papers | None, *, in_the_clear: bool) -> None:
    if not _ADDRESS.fullmatch(address):
        raise ClusterError(f"Found `{address}`; expected an address such as tls://build.example.org:8786.")
    if papers is None and not in_the_clear:
        raise ClusterError(
            "Without certificates everybody on the way could read and change what is sent, and have this "
            "cluster run anything. Give --tls-authority, --tls-certificate and --tls-key; or, in a network "
            "of which that may be said, --in-the-clear."
        )
    if papers is not None and address.startswith(_CLEAR):
        raise ClusterError(f"`{address}` is an address without TLS: with certificates it begins with tls://.")


def _security(distributed: Any, papers: Papers | None) -> object:  # noqa: ANN401 - a module of an extra
    if papers is None:
        return distributed.Security(require_encryption=False)
    for file in (papers.authority, papers.certificate, papers.key):
        if not file.is_file():
            raise ClusterError(f"There is no certificate or key file {file}.")
    own = {"tls_client_cert": str(papers.certificate), "tls_client_key": str(papers.key)}
    return distributed.Security(tls_ca_file=str(papers.authority), require_encryption=True, **own)
