"""Distances between outlines as areas: by hand, and as shapely measures them."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.regions import AreaGap, gaps_among, gaps_to_rim, gaps_to_shapes
from app.geometry.shapes import Shape, circle, rectangle
from tests.long_run import examples

RIM = rectangle_outline(600, 300, 60)


def window(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return Outline(tuple(Corner(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))


def about(first: int, second: int, distance: float, where: tuple[float, float] | None = None) -> tuple[object, ...]:
    return (first, second, pytest.approx(distance, abs=1e-3), pytest.approx(where, abs=1e-3))


def told(gap: AreaGap) -> tuple[object, ...]:
    return (gap.first, gap.second, gap.distance, gap.where)


def test_two_openings_are_told_once_with_the_middle_between_them() -> None:
    beside = (window(0, 0, 10, 10), window(14, 2, 20, 3), window(13, 14, 20, 20))
    gaps = {(g.first, g.second): g for g in gaps_among(beside, 6.0)}
    assert set(gaps) == {(0, 1), (0, 2)}
    assert gaps[0, 1].distance == pytest.approx(4)
    assert told(gaps[0, 2]) == about(0, 2, 5, (11.5, 12))  # corner to corner: 3, 4, 5
    assert gaps_among(beside, 4.0 - 1e-9) == ()
    assert gaps_among(beside[:1], 100.0) == ()


def test_an_overlap_is_as_deep_as_a_corner_lies_in_the_other() -> None:
    (gap,) = gaps_among((window(0, 0, 20, 20), window(17, 5, 40, 12)), 1.0)
    assert gap.distance == pytest.approx(-3)
    assert 17 <= gap.where[0] <= 20 and 5 <= gap.where[1] <= 12
    (gap,) = gaps_among((window(0, 0, 20, 20), window(20, 0, 40, 20)), 1.0)
    assert gap.distance == 0, "they touch"


def test_an_opening_is_measured_to_the_rim_and_to_its_round_corners() -> None:
    (gap,) = gaps_to_rim((window(100, 8, 150, 40),), RIM, 12.0)
    assert gap.distance == pytest.approx(8)
    assert gap.where[1] == pytest.approx(4)
    assert gaps_to_rim((window(100, 12, 150, 40),), RIM, 12.0) == ()
    # The arc is about (540, 240): out along the diagonal, radius less distance is left.
    reach = 60 - 8
    at = reach / math.sqrt(2)
    (gap,) = gaps_to_rim((window(500, 200, 540 + at, 240 + at),), RIM, 12.0)
    assert gap.distance == pytest.approx(8, abs=1e-3)
    assert gap.where == pytest.approx((540 + 56 / math.sqrt(2), 240 + 56 / math.sqrt(2)), abs=0.05)
    (gap,) = gaps_to_rim((window(590, 100, 610, 120),), RIM, 12.0)
    assert gap.distance == 0, "it crosses the rim"


def test_an_opening_is_measured_to_shapes_with_sharp_and_round_ends() -> None:
    openings = (window(0, 0, 10, 10),)
    shapes = (rectangle(10, 10, 18, 5), circle(10, 18, 5), circle(10, 10 + 6, 10 + 8), rectangle(4, 4, 9, 5))
    gaps = {g.second: g.distance for g in gaps_to_shapes(openings, shapes, 6.0)}
    assert gaps == {
        0: pytest.approx(3),
        1: pytest.approx(3),
        2: pytest.approx(10 - 5, abs=1e-3),  # 6, 8, 10
        3: pytest.approx(-3),  # its left side is 3 mm inside
    }


@pytest.mark.parametrize(
    "area",
    [
        rectangle(100, 50, 50, 25),  # just as large
        rectangle(40, 50, 50, 25),  # as deep, its corners on the rim
        rectangle(20, 90, 50, 25),  # across it
    ],
)
def test_an_overlap_without_a_corner_within_is_one_as_well(area: Shape) -> None:
    (gap,) = gaps_to_shapes((window(0, 0, 100, 50),), (area,), 1.0)
    assert gap.distance < 0


quads = st.tuples(*(st.integers(0, 120) for _ in range(2)), *(st.integers(5, 50) for _ in range(2)), st.integers(0, 89))


@examples(25)
@given(st.lists(quads, min_size=2, max_size=5), st.integers(1, 40))
def test_gaps_are_those_that_shapely_measures(rows: list[tuple[int, int, int, int, int]], reach: int) -> None:
    outlines = tuple(
        Outline(tuple(Corner(*p) for p in rectangle(w, h, x, y, angle).core)) for x, y, w, h, angle in rows
    )
    drawn = [shapely.Polygon([(c.x, c.y) for c in o.corners]) for o in outlines]
    gaps = {(g.first, g.second): g.distance for g in gaps_among(outlines, float(reach))}
    for i, one in enumerate(drawn):
        for j in range(i + 1, len(drawn)):
            apart = one.distance(drawn[j])
            if apart < reach - 1e-6:
                assert max(gaps[i, j], 0.0) == pytest.approx(apart, abs=1e-6)
            elif apart > reach + 1e-6:
                assert (i, j) not in gaps
