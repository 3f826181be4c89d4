"""What was kept comes back as it was, or is refused quickly."""

from dataclasses import dataclass
from fractions import Fraction

import pytest

from proctool.kept.codec import DamagedError, decode, encode
from tests.fuzz.bounds import within


@dataclass(frozen=True, slots=True)
class Sized:
    size: Fraction


@pytest.mark.parametrize("number", ["0", "-3", "7/2", "-1/3"])
def test_a_fraction_comes_back(number):
    value = Sized(Fraction(number))
    assert decode(encode(value), Sized) == value


@pytest.mark.parametrize("text", ["1e999999999", "1e-999999999", "1/0", "9" * 5000, "٣", "1.5", "", "1/-2"])
def test_what_is_written_otherwise_is_refused_at_once(text):
    """Python reads `1e999999999` as a fraction, and works on it for as long as there is memory."""
    with within(1), pytest.raises(DamagedError):
        decode(f'{{"size": "{text}"}}'.encode(), Sized)
