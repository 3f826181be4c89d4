"""The store: one SQLite file in the user's cache folder, its entries sealed with a key from another folder.

Whoever can write to the cache but not read the key can plant nothing: an entry whose seal is not right is
as good as none. Every fault of the file or the disk is treated the same way, for what is kept can always
be worked out anew.
"""

from __future__ import annotations

import hmac
import os
import sqlite3
import tempfile
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
CREATE TABLE IF NOT EXISTS kept (key TEXT PRIMARY KEY, seal BLOB, value BLOB, used INTEGER);
CREATE INDEX IF NOT EXISTS by_use ON kept (used);
"""
_TRIM = """
DELETE FROM kept WHERE rowid IN (
    SELECT rowid FROM (
        SELECT rowid, sum(length(value)) OVER (ORDER BY used DESC, rowid DESC) AS held FROM kept
    ) WHERE held > ?
)
"""
_PASSING = frozenset(
    {
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_NOMEM,
        sqlite3.SQLITE_INTERRUPT,
        sqlite3.SQLITE_PROTOCOL,
    }
)
"""Errors that say nothing about what is in the file; after any other it is begun anew."""
_KEY_BYTES = 32


class Store:
    """Values by key. Open it in each process by itself; several may use one file at the same time."""

    def __init__(self, file: Path, seal: bytes, *, most: int = MOST_BYTES) -> None:
        self.file, self._seal, self._most = file, seal, most
        self._used: set[str] = set()
        self._fresh = 0
        """Bytes put since there was last looked for too much."""
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
        """Keep a value: whole, or not at all; from then on it outlives this process, however that ends."""
        with self._harmless():
            if self._db is not None:
                with self._db:
                    row = (key, self._sealed(key, value), value, int(time.time()))
                    self._db.execute("INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?)", row)
                self._fresh += len(value)
                if self._fresh > self._most * (1 - _LEFT):
                    self._tidy(self._db)

    def close(self) -> None:
        """Note what was used, let go of what was not for longest where there is too much, and close."""
        with self._harmless():
            if self._db is not None:
                self._tidy(self._db)
        self._let_go()

    def _tidy(self, db: sqlite3.Connection) -> None:
        now, self._fresh = int(time.time()), 0
        with db:
            used = ((now, key) for key in self._used)
            db.executemany("UPDATE kept SET used = ? WHERE key = ?", used)
        self._used.clear()
        held = db.execute("SELECT coalesce(sum(length(value)), 0) FROM kept").fetchone()[0]
        if held > self._most:
            with db:
                db.execute(_TRIM, (int(self._most * _LEFT),))
            db.execute("PRAGMA incremental_vacuum").fetchall()  # each row of it frees a page

    def _let_go(self) -> None:
        with suppress(sqlite3.Error):
            if self._db is not None:
                self._db.close()
        self._db = None

    def _sealed(self, key: str, value: bytes) -> bytes:
        return hmac.digest(self._seal, key.encode() + b"\0" + value, "sha256")

    @contextmanager
    def _harmless(self) -> Iterator[None]:
        """A fault of the store costs time, never a result: from the first one on nothing is kept."""
        try:
            yield
        except (sqlite3.Error, OSError) as error:
            self._let_go()
            if _ruined(error):
                with suppress(OSError):
                    _clear(self.file)


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
    except sqlite3.Error as error:
        if not _ruined(error):
            raise
        _clear(file)
        return _with_tables(file)


def _ruined(error: Exception) -> bool:
    code = getattr(error, "sqlite_errorcode", None)
    return code is not None and code & 0xFF not in _PASSING


def _clear(file: Path) -> None:
    for path in (file, *(file.with_name(file.name + end) for end in ("-wal", "-shm"))):
        path.unlink(missing_ok=True)


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
    cache = Path(told).absolute() if told else platformdirs.user_cache_path("proctool")
    beside = cache.parent / f"{cache.name}.key"
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
    """The key in a file that only the user may read, made at first use or where it is damaged."""
    found = _read_key(file)
    if found is None:
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
        aside = Path(name)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(token_bytes(_KEY_BYTES))
            try:
                os.link(aside, file)  # unlike a rename it never takes the place of a key made meanwhile
            except OSError:
                if _read_key(file) is None:
                    aside.replace(file)
        finally:
            aside.unlink(missing_ok=True)
        found = _read_key(file)
    if found is None:
        raise OSError(f"{file} cannot be kept")
    return found


def _read_key(file: Path) -> bytes | None:
    with suppress(OSError):
        found = file.read_bytes() if file.is_file() else b""
        if len(found) == _KEY_BYTES:
            return found
    return None
