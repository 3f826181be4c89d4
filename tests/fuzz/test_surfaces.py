"""Every surface, quickly: a few inputs each run, and all of them watched."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.bounds import TookTooLongError, within
from tests.fuzz.seeds import ROOT
from tests.fuzz.surfaces import SURFACES


@pytest.mark.parametrize("name", SURFACES)
def test_no_input_crashes_hangs_or_gets_through(name):
    surface = SURFACES[name]
    surface.feed(b"")  # what is loaded at first use is not the input's doing

    @settings(max_examples=surface.examples, suppress_health_check=list(HealthCheck))
    @given(st.binary(max_size=surface.size))
    def feed(data):
        with within(surface.seconds):
            surface.feed(data)

    feed()


def watched(*words):
    call = [sys.executable, "-B", *words]
    return subprocess.run(call, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)


def test_no_input_reads_writes_starts_or_asks_anything_outside():
    """In a process of its own, with a hook that hears of every opened file and a limit of memory."""
    done = watched("-m", "tests.fuzz.outside", "10")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


TRAP = """
import os, socket, subprocess, tempfile
from tests.fuzz.outside import watch
seen = watch()
open('/etc/hostname').close()
handle, name = tempfile.mkstemp(); os.close(handle); os.remove(name)
subprocess.run(['true']); socket.socket().close()
with tempfile.TemporaryDirectory(prefix='fuzz-') as own:
    os.mkdir(own + '/outside'); os.symlink(own + '/outside/a', own + '/b')
    open(own + '/outside/a', 'w').close(); open(own + '/b').close()
print(*sorted({line.split(' ')[0] for line in seen}), seen[-1].endswith('/outside/a'))
"""


def test_the_watch_sees_what_it_must():
    done = watched("-c", TRAP)
    assert done.stdout == "os.remove read socket.__new__ subprocess.Popen write True\n", done


def test_the_limit_of_time_holds():
    with pytest.raises(TookTooLongError):
        for_ever()


def for_ever():
    with within(0.05):
        while True:
            pass
