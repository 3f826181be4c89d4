"""The store: what is whole comes back, whatever is not is as good as none, and nothing ever fails for it."""

from __future__ import annotations

import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from proctool.kept import store as module
from proctool.kept.store import Store, home, open_store

SEAL = b"k" * 32
PACKAGE = Path(module.__file__).parents[1]


@pytest.fixture
def file(tmp_path):
    return tmp_path / "kept" / "kept.sqlite"


def filled(file, **values):
    store = Store(file, SEAL)
    for key, value in values.items():
        store.put(key, value)
    store.close()


def look(file, key, seal=SEAL):
    with closing(Store(file, seal)) as store:
        return store.get(key)


def change(file, order, *values):
    with closing(sqlite3.connect(file)) as db, db:
        db.execute(order, values)


class TestWhole:
    def test_what_was_put_comes_back_in_another_run(self, file):
        filled(file, a=b"1", b=b"\0\xff" * 1000)
        assert (look(file, "a"), look(file, "b"), look(file, "c")) == (b"1", b"\0\xff" * 1000, None)

    def test_the_last_value_counts(self, file):
        filled(file, a=b"1")
        filled(file, a=b"2")
        assert look(file, "a") == b"2"

    def test_the_folder_is_for_the_user_alone(self, file):
        filled(file, a=b"1")
        assert file.parent.stat().st_mode & 0o077 == 0

    def test_two_processes_at_once(self, file):
        code = (
            "import sys; from pathlib import Path; from proctool.kept.store import Store\n"
            "s = Store(Path(sys.argv[1]), b'k' * 32)\n"
            "for i in range(200): s.put(f'{sys.argv[2]} {i}', sys.argv[2].encode())\n"
            "s.close()"
        )
        children = [subprocess.Popen([sys.executable, "-c", code, str(file), name]) for name in ("x", "y")]
        assert [child.wait(60) for child in children] == [0, 0]
        with closing(Store(file, SEAL)) as store:
            assert all(store.get(f"{name} {i}") == name.encode() for name in "xy" for i in range(200))


class TestDamage:
    def test_a_value_with_one_bit_changed(self, file):
        filled(file, a=b"safe", b=b"2")
        change(file, "UPDATE kept SET value = ? WHERE key = 'a'", b"sage")
        assert (look(file, "a"), look(file, "b")) == (None, b"2")

    def test_a_value_planted_with_another_key(self, file):
        filled(file, a=b"unsafe")
        with closing(Store(file, b"x" * 32)) as planter:
            planter.put("a", b"safe")
        assert look(file, "a") is None

    def test_a_value_moved_from_another_entry(self, file):
        filled(file, a=b"unsafe", b=b"safe")
        change(file, "UPDATE kept SET (seal, value) = (SELECT seal, value FROM kept WHERE key = 'b')")
        assert (look(file, "a"), look(file, "b")) == (None, b"safe")

    @pytest.mark.parametrize("wrong", ["text", 7, None])
    def test_a_cell_of_another_kind(self, file, wrong):
        filled(file, a=b"1")
        change(file, "UPDATE kept SET value = ?", wrong)
        assert look(file, "a") is None

    def test_it_is_replaced_when_it_is_worked_out_anew(self, file):
        filled(file, a=b"1")
        change(file, "UPDATE kept SET value = x'00'")
        filled(file, a=b"1")
        assert look(file, "a") == b"1"

    @pytest.mark.parametrize("content", [b"", b"no database at all", b"SQLite format 3\0" + b"\xff" * 4000])
    def test_a_file_that_is_no_database_is_begun_anew(self, file, content):
        file.parent.mkdir()
        file.write_bytes(content)
        filled(file, a=b"1")
        assert look(file, "a") == b"1"

    def test_a_file_cut_short(self, file):
        filled(file, **{f"k{i}": b"v" * 5000 for i in range(50)})
        file.write_bytes(file.read_bytes()[:40_000])
        found = look(file, "k1")
        assert found in {None, b"v" * 5000}
        filled(file, a=b"1")

    @pytest.mark.parametrize(
        "table", ["CREATE TABLE kept (key TEXT)", "CREATE VIEW kept AS SELECT 1 AS key, 2 AS used"]
    )
    def test_a_file_with_other_tables_is_begun_anew(self, file, table):
        file.parent.mkdir()
        change(file, table)
        filled(file, a=b"1")
        assert look(file, "a") == b"1"

    def test_damage_that_shows_only_in_use_is_gone_in_the_next_run(self, file):
        filled(file, **{f"k{i:03}": b"v" * 500 for i in range(300)})
        whole = file.read_bytes()
        file.write_bytes(whole[:8192] + b"\xff" * (len(whole) - 8192))
        for i in range(0, 300, 50):
            assert look(file, f"k{i:03}") in {None, b"v" * 500}
        filled(file, a=b"1")
        filled(file, a=b"1")
        assert look(file, "a") == b"1"

    @pytest.mark.parametrize("seed", range(3))
    def test_bytes_changed_anywhere_never_change_a_value(self, file, seed):
        rng = Random(seed)  # noqa: S311 - damage, not secrets
        put = {f"k{i}": bytes([i]) * (i * 97) for i in range(30)}
        filled(file, **put)
        whole = file.read_bytes()
        for _ in range(20):
            damaged = bytearray(whole)
            for _ in range(rng.randrange(1, 40)):
                damaged[rng.randrange(len(damaged))] = rng.randrange(256)
            file.write_bytes(damaged)
            with closing(Store(file, SEAL)) as store:
                assert all(store.get(key) in {None, value} for key, value in put.items())

    def test_a_folder_where_the_file_should_be(self, file):
        file.mkdir(parents=True)
        with closing(Store(file, SEAL)) as store:
            store.put("a", b"1")
            assert store.get("a") is None

    def test_a_folder_that_cannot_be(self, tmp_path):
        (tmp_path / "plain").write_text("a file")
        with closing(Store(tmp_path / "plain" / "kept.sqlite", SEAL)) as store:
            store.put("a", b"1")
            assert (store.get("a"), store.has("a")) == (None, False)

    def test_gone_in_the_middle_of_a_run(self, file):
        store = Store(file, SEAL)
        store.put("a", b"1")
        for path in file.parent.iterdir():
            path.unlink()
        store.put("b", b"2")
        assert store.get("a") in {None, b"1"}
        store.close()
        filled(file, c=b"3")
        assert look(file, "c") == b"3"


def test_the_entries_used_longest_ago_go_first(file, monkeypatch):
    now = iter(range(1000, 2000))
    monkeypatch.setattr("proctool.kept.store.time.time", lambda: next(now))
    store = Store(file, SEAL, most=1000)
    for i in range(9):
        store.put(f"k{i}", b"v" * 100)
    store.close()
    again = Store(file, SEAL, most=1000)
    assert again.get("k0") is not None  # used again
    for i in range(9, 13):
        again.put(f"k{i}", b"v" * 100)
    again.close()
    with closing(Store(file, SEAL)) as store:
        left = {i for i in range(13) if store.has(f"k{i}")}
    assert left == {0, *range(4, 13)}  # 1,100 bytes were too many: down to 800, then two more


def test_it_never_grows_far_past_its_bound(file):
    """In one long run too, and what went gives its room on the disk back."""
    with closing(Store(file, SEAL, most=1_000_000)) as store:
        for i in range(60):
            store.put(f"k{i}", b"v" * 100_000)
            assert sum(map(has_bytes, file.parent.iterdir())) < 8_000_000
        assert store.get("k59") is not None
    assert has_bytes(file) < 1_300_000


def has_bytes(path):
    return path.stat().st_size


@pytest.mark.skipif(
    sys.platform == "win32", reason="a limit on the size of files is asked for as POSIX has it"
)
def test_a_full_disk_costs_only_time(file):
    filled(file, a=b"1")
    code = (
        "import resource, sys; from pathlib import Path; from proctool.kept.store import Store\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))\n"
        "s = Store(Path(sys.argv[1]), b'k' * 32)\n"
        "for i in range(9): s.put(f'k{i}', b'v' * 30_000)\n"
        "s.close()"
    )
    done = subprocess.run([sys.executable, "-c", code, str(file)], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert look(file, "a") == b"1"
    assert look(file, "k8") is None
    filled(file, b=b"2")
    assert look(file, "b") == b"2"


class TestTheUsersOwn:
    def test_its_key_is_made_once_and_for_the_user_alone(self):
        store = open_store()
        store.put("a", b"1")
        store.close()
        key = home()[1]
        assert key.stat().st_mode & 0o077 == 0
        assert open_store().get("a") == b"1"

    def test_with_another_key_nothing_is_trusted(self):
        store = open_store()
        store.put("a", b"1")
        store.close()
        home()[1].unlink()
        assert open_store().get("a") is None

    def test_a_damaged_key_is_made_anew(self):
        open_store().put("a", b"1")
        home()[1].write_bytes(b"short")
        store = open_store()
        assert store.get("a") is None
        store.put("a", b"1")
        store.close()
        assert open_store().get("a") == b"1"
        assert [p.name for p in home()[1].parent.glob(f".{home()[1].name}.*")] == []

    def test_without_a_key_nothing_is_kept(self):
        home()[1].mkdir(parents=True)
        assert open_store() is None

    @pytest.mark.parametrize("told", [".", "/", "..", "deep/down"])
    def test_any_folder_may_be_named(self, told, tmp_path, monkeypatch):
        monkeypatch.chdir(tmp_path)
        monkeypatch.setenv("PROCTOOL_CACHE", told)
        file, key = home()
        assert file.is_absolute() and key.is_absolute() and file.parent != key.parent or told == "/"


def test_nothing_is_ever_unpickled():
    """By the package's own code: what passes between its processes is `multiprocessing`'s own business."""
    named = re.compile(
        r"^\s*(?:import|from)\s+(?:pickle|marshal|shelve|dill|cloudpickle|joblib)\b", re.MULTILINE
    )
    assert [f.name for f in PACKAGE.rglob("*.py") if named.search(f.read_text("utf-8"))] == []
