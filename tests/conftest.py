"""One profile for property tests, and a place of its own for what each test keeps."""

import os
from itertools import count

import pytest
from hypothesis import settings

# No time limit, and the same cases each time on a build server.
settings.register_profile("ours", deadline=None, derandomize=bool(os.environ.get("CI")), print_blob=True)
settings.load_profile("ours")

_NUMBERS = count()


@pytest.fixture(scope="session")
def _shelves(tmp_path_factory):
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(autouse=True)
def _own_shelf(_shelves, monkeypatch):
    """Nothing is looked up that another test kept, nor anything in the cache of who runs the tests."""
    monkeypatch.setenv("PROCTOOL_CACHE", str(_shelves / str(next(_NUMBERS))))
