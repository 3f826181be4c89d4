"""The store: what is whole comes back, whatever is not is as good as none, and nothing ever fails for it."""

from __future__ import annotations

import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

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
    assert left == {0, *range(6, 13)}  # 1,300 bytes were too many: down to 800


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

    def test_a_damaged_key_keeps_nothing(self):
        open_store().close()
        home()[1].write_bytes(b"short")
        assert open_store() is None


def test_nothing_is_ever_unpickled():
    """By the package's own code: what passes between its processes is `multiprocessing`'s own business."""
    named = re.compile(
        r"^\s*(?:import|from)\s+(?:pickle|marshal|shelve|dill|cloudpickle|joblib)\b", re.MULTILINE
    )
    assert [f.name for f in PACKAGE.rglob("*.py") if named.search(f.read_text("utf-8"))] == []
