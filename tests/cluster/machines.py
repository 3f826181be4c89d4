"""A scheduler and workers of a cluster, real processes on this machine, with certificates of their own."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path
from typing import Self

import trustme

_PATIENCE = 60


class Machines:
    """The processes of a cluster; leaving ends them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._stack = ExitStack()
        self.workers: list[subprocess.Popen[bytes]] = []
        self.address = ""
        authority = trustme.CA()
        authority.cert_pem.write_to_path(folder / "authority.pem")
        ours = authority.issue_cert("127.0.0.1", "localhost")
        ours.private_key_pem.write_to_path(folder / "key.pem")
        chain = b"".join(part.bytes() for part in ours.cert_chain_pems)
        (folder / "certificate.pem").write_bytes(chain)

    @property
    def papers(self) -> tuple[Path, Path, Path]:
        """Authority, certificate, key."""
        return self.folder / "authority.pem", self.folder / "certificate.pem", self.folder / "key.pem"

    def __enter__(self) -> Self:
        said = self.folder / "scheduler.json"
        self._start("scheduler", "--host", "tls://127.0.0.1", "--port", "0", "--scheduler-file", said)
        until = time.monotonic() + _PATIENCE
        while not said.exists():
            if time.monotonic() > until:
                raise TimeoutError((self.folder / "scheduler.log").read_text())
            time.sleep(0.05)
        self.address = json.loads(said.read_text())["address"]
        for _ in range(2):
            self.add_worker()
        return self

    def __exit__(self, *_: object) -> None:
        self._stack.close()

    def add_worker(self) -> None:
        """Start one more worker."""
        one = ("--nthreads", "1", "--nworkers", "1", "--no-nanny")
        self.workers.append(self._start("worker", self.address, *one, "--local-directory", self.folder))

    def _start(self, *what: object) -> subprocess.Popen[bytes]:
        authority, certificate, key = self.papers
        tls = ("--tls-ca-file", authority, "--tls-cert", certificate, "--tls-key", key, "--no-dashboard")
        log = self._stack.enter_context((self.folder / f"{what[0]}.log").open("ab"))
        made = subprocess.Popen(
            [sys.executable, "-m", "dask", *map(str, (*what, *tls))], stdout=log, stderr=log, cwd=self.folder
        )
        self._stack.callback(made.wait)
        self._stack.callback(made.kill)
        return made
