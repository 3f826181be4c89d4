"""The store: one SQLite file in the user's cache folder, its entries sealed with a key from another folder.

Whoever can write to the cache but not read the key can plant nothing: an entry whose seal is not right is
as good as none. Every fault of the file or the disk is treated the same way, for what is kept can always
be worked out anew.
"""

from __future__ import annotations

import hmac
import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from secrets import token_bytes

import platformdirs

FOLDER = "PROCTOOL_CACHE"
"""Environment variable that names another folder for what is kept; the seal's key then lies beside it."""
MOST_BYTES = 2 * 1024**3
"""What the store holds before the entries that were used longest ago go."""
_LEFT = 0.8
"""How full it is after that."""
_PATIENCE = 30
"""Seconds to wait for another build that is writing."""
_LAYOUT = 1
_SCHEMA = """
CREATE TABLE IF NOT EXISTS kept (key TEXT PRIMARY KEY, seal BLOB, value BLOB, size INTEGER, used INTEGER);
CREATE INDEX IF NOT EXISTS by_use ON kept (used);
"""


class Store:
    """Values by key. Open it in each process by itself; several may use one file at the same time."""

    def __init__(self, file: Path, seal: bytes, *, most: int = MOST_BYTES) -> None:
        self.file, self._seal, self._most = file, seal, most
        self._used: set[str] = set()
        self._db: sqlite3.Connection | None = None
        with self._harmless():
            file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._db = _opened(file)

    @property
    def look(self) -> Look:
        """The same to look into from another process."""
        return Look(self.file, self._seal)

    def get(self, key: str) -> bytes | None:
        """What is kept under a key; None where there is nothing, or nothing that can be trusted."""
        row = self._row("SELECT seal, value FROM kept WHERE key = ?", key)
        if row is None or not hmac.compare_digest(row[0], self._sealed(key, row[1])):
            return None
        self._used.add(key)
        return row[1]

    def has(self, key: str) -> bool:
        """Whether something is kept under a key; `get` says whether it can be trusted."""
        found = self._row("SELECT seal, x'' FROM kept WHERE key = ?", key) is not None
        if found:
            self._used.add(key)
        return found

    def _row(self, asked: str, key: str) -> tuple[bytes, bytes] | None:
        row = None
        with self._harmless():
            row = self._db and self._db.execute(asked, (key,)).fetchone()
        if not row or not all(isinstance(cell, bytes) for cell in row):
            return None
        return row[0], row[1]

    def put(self, key: str, value: bytes) -> None:
        """Keep a value; it is on disk, whole, when this returns, or else nothing is."""
        with self._harmless():
            if self._db is not None:
                row = (key, self._sealed(key, value), value, len(value), int(time.time()))
                with self._db:
                    self._db.execute("INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?, ?)", row)

    def close(self) -> None:
        """Note what was used, let go of what was not for longest where there is too much, and close."""
        with self._harmless():
            if self._db is not None:
                now = int(time.time())
                with self._db:
                    used = ((now, key) for key in self._used)
                    self._db.executemany("UPDATE kept SET used = ? WHERE key = ?", used)
                self._trim(self._db)
        with suppress(sqlite3.Error):
            if self._db is not None:
                self._db.close()
        self._db = None

    def _trim(self, db: sqlite3.Connection) -> None:
        held = db.execute("SELECT coalesce(sum(size), 0) FROM kept").fetchone()[0]
        if held <= self._most:
            return
        going = []
        for key, size in db.execute("SELECT key, size FROM kept ORDER BY used, key"):
            if held <= self._most * _LEFT:
                break
            held -= size
            going.append((key,))
        with db:
            db.executemany("DELETE FROM kept WHERE key = ?", going)
        db.execute("PRAGMA incremental_vacuum")

    def _sealed(self, key: str, value: bytes) -> bytes:
        return hmac.digest(self._seal, key.encode() + b"\0" + value, "sha256")

    @contextmanager
    def _harmless(self) -> Iterator[None]:
        """A fault of the store costs time, never a result: from the first one on nothing is kept."""
        try:
            yield
        except (sqlite3.Error, OSError):
            with suppress(sqlite3.Error):
                if self._db is not None:
                    self._db.close()
            self._db = None


@dataclass(frozen=True, slots=True)
class Look:
    """A store to look into from another process: its file and the key of its seals."""

    file: Path
    seal: bytes = field(repr=False)

    def get(self, key: str) -> bytes | None:
        """As `Store.get`."""
        return _look(self).get(key)


@lru_cache(maxsize=2)
def _look(at: Look) -> Store:
    """A store opened once in each process."""
    return Store(at.file, at.seal)


def _opened(file: Path) -> sqlite3.Connection:
    """A database with our tables; a file that is none, or has other tables, is begun anew."""
    try:
        return _with_tables(file)
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.OperationalError):
            raise  # locked, or not to be written to: not ours to throw away
        for path in (file, *(file.with_name(file.name + end) for end in ("-wal", "-shm"))):
            path.unlink(missing_ok=True)
        return _with_tables(file)


def _with_tables(file: Path) -> sqlite3.Connection:
    db = sqlite3.connect(file, timeout=_PATIENCE)
    try:
        db.execute("PRAGMA auto_vacuum = INCREMENTAL")
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("PRAGMA synchronous = NORMAL")
        db.executescript(_SCHEMA)
        return db
    except BaseException:
        db.close()
        raise


def home() -> tuple[Path, Path]:
    """The store's file and that of its key: in the user's cache folder, and in that of lasting state."""
    told = os.environ.get(FOLDER)
    cache = Path(told) if told else platformdirs.user_cache_path("proctool")
    beside = cache.with_name(f"{cache.name}.key")
    key = beside if told else platformdirs.user_state_path("proctool") / "seal.key"
    return cache / f"kept-{_LAYOUT}.sqlite", key


def open_store(*, most: int = MOST_BYTES) -> Store | None:
    """The user's store; None where no key can be had, so that nothing could be trusted."""
    file, key = home()
    try:
        return Store(file, _key(key), most=most)
    except OSError:
        return None


def _key(file: Path) -> bytes:
    """The key in a file that only the user may read, made at first use."""
    file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    made = token_bytes(32)
    aside = file.with_name(f".{file.name}.{os.getpid()}")
    with suppress(FileExistsError):
        handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(made)
            os.link(aside, file)  # unlike a rename it never takes the place of a key that is there
        finally:
            aside.unlink()
    found = file.read_bytes()
    if len(found) != len(made):
        raise OSError(f"{file} is no key")
    return found
