"""Room of one convex shape inside another: by hand, and as shapely grows shapes."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from app.geometry.containment import room_inside
from app.geometry.shapes import Shape, circle, rectangle, slot


@pytest.mark.parametrize(
    ("inner", "outer", "room"),
    [
        (circle(28), circle(32), 2),
        (circle(28), circle(28), 0),
        (circle(28), circle(20), -4),
        (circle(20, 3, 4), circle(40), 10 - 5),  # its middle is 5 mm off
        (circle(20, 30, 0), circle(40), 10 - 30),
        (circle(20), rectangle(40, 30), 5),
        (circle(20, 12, 0), rectangle(40, 30), -2),
        (rectangle(30, 40), circle(60), 30 - 25),  # half its diagonal is 25
        (rectangle(30, 40), circle(48), 24 - 25),
        (rectangle(20, 20), rectangle(40, 30), 5),
        (rectangle(20, 20, angle=45), rectangle(40, 30), 15 - 10 * math.sqrt(2)),
        (slot(40, 10), circle(50), 5),
        (circle(10), slot(40, 10), 0),
        (slot(40, 10), slot(40, 10, angle=90), -15),  # its ends stand out by half of 40 − 10
        (slot(30, 6, 2, 0), rectangle(40, 10), 2),
        (circle(10, 15, 10), rectangle(40, 30, corner=5), 0),  # round, in the round corner
    ],
)
def test_room_is_least_in_the_direction_where_it_is_tight(inner: Shape, outer: Shape, room: float) -> None:
    assert room_inside(inner, outer) == pytest.approx(room, abs=1e-9)


def test_a_square_corner_in_a_round_one_is_tight_along_the_diagonal() -> None:
    # A square of 20 in one of 22 with corners of radius 5: from the arc's middle (6, 6) its corner is 4·√2 away.
    assert room_inside(rectangle(20, 20), rectangle(22, 22, corner=5)) == pytest.approx(5 - 4 * math.sqrt(2))


spots = st.tuples(st.integers(-200, 200), st.integers(-200, 200)).map(lambda p: (p[0] / 10, p[1] / 10))


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    """A circle, a slot, a rectangle with square or round corners, or a triangle, anywhere about the origin."""
    (x, y), angle = draw(spots), draw(st.integers(0, 359))
    width, more = draw(st.integers(4, 40)), draw(st.integers(1, 30))
    kind = draw(st.sampled_from(["circle", "slot", "rectangle", "rounded", "triangle"]))
    if kind == "circle":
        return circle(width, x, y)
    if kind == "slot":
        return slot(width + more, width, x, y, angle)
    if kind == "triangle":
        return Shape(((x / 4 - 20, -10), (22, -12), (5, 20)), 0.0)
    return rectangle(width, width + more, x, y, angle, 1.5 if kind == "rounded" else 0.0)


NEAR = 0.01  # mm; arcs of 64 chords to a quarter are off by less


@given(shapes(), shapes())
def test_a_shape_grown_by_its_room_just_fits_as_shapely_says(inner: Shape, outer: Shape) -> None:
    """A negative room is what the outer one has to grow by."""
    room = room_inside(inner, outer)
    assert drawn(inner, max(0.0, room - NEAR)).within(drawn(outer, max(0.0, -room + NEAR)))
    assert not drawn(inner, max(0.0, room + NEAR)).within(drawn(outer, max(0.0, -room - NEAR)))


def drawn(shape: Shape, grown: float) -> BaseGeometry:
    core = shapely.MultiPoint(shape.core).convex_hull
    return core.buffer(shape.radius + grown, quad_segs=64) if shape.radius + grown > 0 else core
