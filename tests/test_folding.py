"""A test that tries many cases tries all of them, and says which failed."""

from __future__ import annotations

import pytest

from tests.folding import each


def test_every_case_is_tried_and_those_that_fail_are_named() -> None:
    tried = []

    @each("a, b", [(1, 2), (3, 4), (5, 6)])
    @each("c", "xy")
    def even(a: int, b: int, c: str) -> None:
        tried.append((a, b, c))
        assert (a, c) != (3, "y")

    with pytest.raises(AssertionError) as caught:
        even()
    assert tried == [(a, b, c) for a, b in ((1, 2), (3, 4), (5, 6)) for c in "xy"]
    assert caught.value.__notes__ == ["where c = 'y'", "where a = 3, b = 4"]


def test_several_that_fail_are_told_together() -> None:
    @each("number", range(8))
    def odd(number: int) -> None:
        assert number % 2

    with pytest.raises(ExceptionGroup, match="4 of 8 cases failed") as caught:
        odd()
    assert [error.__notes__ for error in caught.value.exceptions] == [[f"where number = {n}"] for n in (0, 2, 4, 6)]


def test_without_a_case_nothing_would_be_tried() -> None:
    with pytest.raises(AssertionError, match="nothing would be tried"):
        each("number", [])


@pytest.fixture
def ten() -> int:
    return 10


@each("number", [9, 11])
def test_what_is_not_in_the_rows_is_a_fixture(ten: int, number: int) -> None:
    assert abs(ten - number) == 1
