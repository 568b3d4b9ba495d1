"""Numbers from outside: what Python itself would raise at is None, like everything else that is no number."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.numbers import finite, typed, whole

NO_NUMBERS: list[object] = [
    "12", None, True, False, [], {}, b"12", 10**400, -(10**5000), math.nan, math.inf, -math.inf, 1j,
]  # fmt: skip

NOT_TYPED = [
    "", " ", "twelve", "1 2", "0x10", "nan", "inf", "-inf", "1e999", "9" * 399, "9" * 5000, "1" + "0" * 100_000, "\x00",
    "\ud800",
]  # fmt: skip


@pytest.mark.parametrize("value", NO_NUMBERS, ids=map(str, range(len(NO_NUMBERS))))
def test_what_is_no_finite_number_is_none(value: object) -> None:
    assert finite(value) is None


@pytest.mark.parametrize("text", NOT_TYPED, ids=map(str, range(len(NOT_TYPED))))
def test_what_does_not_read_as_a_finite_number_is_none(text: str) -> None:
    assert typed(text) is None


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_float_is_read_as_it_is_and_as_it_is_written(value: float) -> None:
    assert finite(value) == value
    assert typed(repr(value)) == value
    assert typed(f"{value:.20f}") == pytest.approx(value, abs=1e-19)


@given(st.integers(-(2**53), 2**53))
def test_whole_numbers_are_numbers_too(value: int) -> None:
    assert finite(value) == value == typed(str(value))


@given(st.integers(0, 10**12), st.integers(0, 10**6), st.integers(0, 10**6))
def test_a_whole_number_is_read_if_it_is_in_its_span(value: int, low: int, more: int) -> None:
    high = low + more
    expected = value if low <= value <= high else None
    assert whole(str(value), low, high) == expected
    assert whole("000" + str(value), low, high) == expected


@pytest.mark.parametrize(
    "text", ["", " 1", "+1", "-1", "1.0", "1e0", "²", "٣", "１", "0x1", "1_0", "9" * 5000, "0" * 5000 + "x", "\x00"]
)
def test_what_is_not_in_plain_digits_is_no_whole_number(text: str) -> None:
    assert whole(text, 0, 99) is None


def test_zeros_in_front_count_for_nothing_however_many() -> None:
    assert whole("0" * 5000 + "6", 1, 20) == 6
    assert whole("0" * 5000, 0, 20) == 0
    assert whole("0" * 5000, 1, 20) is None
