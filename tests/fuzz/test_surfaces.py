"""Every surface, quickly: a few inputs each run, and every input that once failed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.bounds import within
from tests.fuzz.surfaces import SURFACES

FAILED = Path(__file__).with_name("failed")
"""Inputs that found a fault, by surface: each must pass for good."""


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
