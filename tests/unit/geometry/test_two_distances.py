"""A point from two distances: what is solved gives back what was measured, and its error is never more than was said.

Source of the expected values: the law of cosines, and a 3-4-5 triangle.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.geometry.two_distances import Crossing, NoCrossing, crossing

coordinate = st.floats(-500.0, 500.0)
point = st.tuples(coordinate, coordinate)


def test_a_triangle_of_three_four_and_five() -> None:
    found = crossing((0.0, 0.0), (50.0, 0.0), (30.0, 40.0), (18.0, 20.0), 0.5)
    assert isinstance(found, Crossing)
    assert found.point == pytest.approx((18.0, 24.0))
    assert found.other == pytest.approx((18.0, -24.0))
    # The lines meet at a right angle, so the worst is the diagonal of a square of 0.5 mm, bent a little by the arcs.
    assert found.within == pytest.approx(math.hypot(0.5, 0.5), abs=0.02)


@given(point, point, point, st.floats(0.0, 1.0))
def test_the_answer_is_as_far_from_both_as_was_measured(
    first: tuple[float, float], second: tuple[float, float], wanted: tuple[float, float], error: float
) -> None:
    base = math.dist(first, second)
    assume(base > 1.0)
    distances = math.dist(first, wanted), math.dist(second, wanted)
    height = (
        abs((second[0] - first[0]) * (wanted[1] - first[1]) - (second[1] - first[1]) * (wanted[0] - first[0])) / base
    )
    assume(height > 1.0)
    found = crossing(first, second, distances, wanted, error)
    assert isinstance(found, Crossing)
    assert math.dist(found.point, wanted) < 1e-5
    assert math.dist(first, found.point) == pytest.approx(distances[0], abs=1e-6)
    assert math.dist(second, found.point) == pytest.approx(distances[1], abs=1e-6)
    assert math.dist(first, found.other) == pytest.approx(distances[0], abs=1e-6)
    if error == 0.0:
        assert found.within == pytest.approx(0.0, abs=1e-5)


@given(point, point, point, st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_no_wrong_distance_puts_it_farther_off_than_was_said(
    first: tuple[float, float], second: tuple[float, float], true: tuple[float, float], a: float, b: float
) -> None:
    assume(math.dist(first, second) > 1.0)
    measured = math.dist(first, true) + a, math.dist(second, true) + b
    assume(min(measured) > 1.0)
    found = crossing(first, second, measured, true, 0.5)
    assume(isinstance(found, Crossing) and math.isfinite(found.within))
    assert isinstance(found, Crossing)
    assert math.dist(found.point, true) <= found.within + 1e-6


@given(point, point, st.floats(0.1, 900.0), st.floats(0.1, 900.0), point)
def test_either_way_round_is_the_same_point(
    first: tuple[float, float], second: tuple[float, float], one: float, other: float, near: tuple[float, float]
) -> None:
    assume(math.dist(first, second) > 1.0)
    found, again = crossing(first, second, (one, other), near, 0.5), crossing(second, first, (other, one), near, 0.5)
    assert isinstance(found, Crossing) == isinstance(again, Crossing)
    if isinstance(found, Crossing) and isinstance(again, Crossing):
        one_way = min(math.dist(found.point, again.point), math.dist(found.point, again.other))
        assert one_way < 1e-3


def test_what_cannot_meet_is_told_with_how_much_is_missing() -> None:
    assert crossing((0, 0), (100, 0), (30.0, 40.0), (0, 9), 0.5) == NoCrossing("short", 30.0)
    assert crossing((0, 0), (100, 0), (250.0, 40.0), (0, 9), 0.5) == NoCrossing("long", 110.0)
    assert crossing((5, 5), (5, 5), (1.0, 1.0), (0, 9), 0.5) == NoCrossing("same", 0.0)


def test_nearly_in_a_line_is_as_unsure_as_can_be() -> None:
    found = crossing((0, 0), (100, 0), (50.0, 50.1), (50.0, 1.0), 0.5)
    assert isinstance(found, Crossing)
    assert found.within == math.inf
