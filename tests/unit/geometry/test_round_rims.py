"""Round rims: how far they reach, how far things lie inside them, which edge is which; by formula and by shapely."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.geometry.boundary import Boundary
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import circle, rectangle
from tests.boards.round_boards import RADIUS, ROUND, polygon_circle, upright
from tests.folding import each

CIRCLES = [ROUND[name] for name in ROUND if name.startswith("circle")]
turns = st.floats(0, 360)


@pytest.mark.parametrize("ring", CIRCLES)
def test_a_circle_reaches_as_far_as_its_radius(ring: tuple[Corner, ...]) -> None:
    cx, cy = 37.5, -12.25
    moved = Outline(ring).mapped(move=(cx - RADIUS, cy - RADIUS))
    assert moved.bounds == pytest.approx((cx - RADIUS, cy - RADIUS, cx + RADIUS, cy + RADIUS), abs=1e-9)


@given(turns, st.floats(20, 300), st.floats(20, 300))
def test_a_turned_ellipse_reaches_as_far_as_its_tangents(turn: float, p: float, q: float) -> None:
    """Half the width of an ellipse of semi-axes p and q turned by a is √(p² cos² a + q² sin² a)."""
    ring = upright(2 * p, 2 * q, (q, p), (p, q), (q, p), (p, q))
    outline = Outline(ring).mapped(move=(-p, -q)).mapped(turn=turn)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    x, y = math.hypot(p * c, q * s), math.hypot(p * s, q * c)
    assert outline.bounds == pytest.approx((-x, -y, x, y), abs=1e-9)


@st.composite
def set_back(draw: st.DrawFn) -> Outline:
    """A convex outline whose set-backs leave straight pieces, or meet, or are not there."""
    count = draw(st.integers(3, 7))
    shares = [draw(st.floats(0.4, 1.0)) for _ in range(count)]
    angles = np.cumsum(shares) / sum(shares) * 2 * math.pi
    wide, deep = draw(st.floats(60, 300)), draw(st.floats(60, 300))
    at = [(wide * math.cos(a), deep * math.sin(a)) for a in angles]
    lengths = [math.dist(at[k], at[(k + 1) % count]) for k in range(count)]
    # Along each edge: the set-back of its first corner, that of its second one.
    parts = [draw(st.sampled_from([(0.5, 0.5), (0.3, 0.7), (0.2, 0.4), (0.0, 0.0)])) for _ in range(count)]
    corners = []
    for k, (x, y) in enumerate(at):
        setback = (parts[k - 1][1] * lengths[k - 1], parts[k][0] * lengths[k])
        corners.append(Corner(x, y, setback if min(setback) > 0 else None))
    return Outline(tuple(corners))


@given(set_back())
def test_the_datum_edges_touch_the_rim_and_no_point_lies_beyond_them(outline: Outline) -> None:
    x, y = np.array(outline.flattened(0.0005)).T
    box = np.array(outline.bounds)
    reached = np.array([x.min(), y.min(), x.max(), y.max()])
    beyond = (reached - box) * (-1, -1, 1, 1)
    assert (beyond < 1e-9).all()
    assert (beyond > -0.0006).all()  # the points are of chords 0.0005 mm off


@given(set_back(), st.lists(st.tuples(st.floats(-320, 320), st.floats(-320, 320)), min_size=1, max_size=20))
def test_holes_are_as_far_inside_any_set_back_outline_as_shapely_says(
    outline: Outline, places: list[tuple[float, float]]
) -> None:
    boundary = Boundary(outline)
    d, x, y = boundary.inside_distances([circle(10, *place) for place in places])
    rim, points = boundary.polygon.exterior, shapely.points(places)
    off = shapely.distance(points, rim)
    sure = off > 0.001  # nearer than its chords are to the rim, shapely cannot tell
    inside = shapely.contains(boundary.polygon, points)
    assert d[sure] == pytest.approx(np.where(inside, off, -off)[sure] - 5, abs=0.0006)
    assert np.hypot(*(np.array(places).T - (x, y))) == pytest.approx(np.abs(d + 5), abs=1e-6)
    assert set(boundary.edges_at(x, y)) <= {"front", "right", "back", "left"}


@each("ring", CIRCLES)
@each("angle", [0.0, 22.5, 45.0, 67.5, 90.0, 135.0, 180.0, 200.0, 225.0, 270.0, 315.0])
@each("far", [0.0, 1e-13, 40.0, 149.0, 160.0])
def test_a_hole_is_as_far_from_a_round_rim_as_its_radius_leaves(
    ring: tuple[Corner, ...], angle: float, far: float
) -> None:
    """R − distance from the centre − radius of the hole, where its arcs join as well, and straight out from there."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    d, x, y = Boundary(Outline(ring)).inside_distances([circle(28, RADIUS + far * c, RADIUS + far * s)])
    assert d[0] == pytest.approx(RADIUS - far - 14, abs=1e-9)
    assert math.hypot(x[0] - RADIUS, y[0] - RADIUS) == pytest.approx(RADIUS, abs=1e-9)
    if far > 1:
        assert (x[0], y[0]) == pytest.approx((RADIUS * (1 + c), RADIUS * (1 + s)), abs=1e-6)


@pytest.mark.parametrize("ring", CIRCLES)
@given(x=st.floats(-100, 100), y=st.floats(-100, 100), turn=turns)
def test_a_plate_is_as_far_from_a_round_rim_as_its_farthest_corner(
    ring: tuple[Corner, ...], x: float, y: float, turn: float
) -> None:
    plate = rectangle(60, 30, RADIUS + x, RADIUS + y, turn)
    farthest = max(math.dist(p, (RADIUS, RADIUS)) for p in plate.core)
    assert Boundary(Outline(ring)).inside_distances([plate])[0][0] == pytest.approx(RADIUS - farthest, abs=1e-9)


def test_a_hole_on_the_axis_of_a_bow_is_measured_to_its_bow() -> None:
    """Both arcs end on the axis: from there the nearest place is straight back, not the front edge drawn out."""
    boundary = Boundary(Outline(ROUND["D, straight front"]))
    d, x, y = boundary.inside_distances([circle(30, 200, 170)])
    assert d[0] == pytest.approx(200 - 170 - 15)
    assert (x[0], y[0]) == pytest.approx((200, 200))


@pytest.mark.parametrize("ring", CIRCLES)
def test_an_edge_of_a_circle_is_where_its_normal_points(ring: tuple[Corner, ...]) -> None:
    angles = np.radians([0, 30, 44, 46, 90, 134, 136, 180, 224, 226, 270, 314, 316, 350])
    boundary = Boundary(Outline(ring))
    named = boundary.edges_at(RADIUS + RADIUS * np.cos(angles), RADIUS + RADIUS * np.sin(angles))
    assert named == ["right"] * 3 + ["back"] * 3 + ["left"] * 3 + ["front"] * 3 + ["right"] * 2
    one = [circle(10, RADIUS, RADIUS)]
    assert [float(boundary.inside_distances(one, edge)[0][0]) for edge in ("left", "front", "right", "back")] == (
        pytest.approx([RADIUS - 5] * 4)
    )


@pytest.mark.parametrize("name", ROUND)
def test_the_pieces_of_a_round_rim_share_their_ends(name: str) -> None:
    """Two ends a rounding apart let a ray pass between them, which then takes the inside for the outside."""
    pieces = Outline(ROUND[name]).pieces
    assert [p.a for p in pieces] == [p.b for p in (*pieces[-1:], *pieces[:-1])]


def test_an_edge_that_is_not_there_is_infinitely_far_off() -> None:
    triangle = Boundary(Outline((Corner(0, 0), Corner(100, 0), Corner(50, 200))))
    d, _, _ = triangle.inside_distances([circle(10, 50, 50), circle(10, 50, 400)], "back")
    assert np.isposinf(d).all()


def test_polygon_circles_close_in_on_their_corners() -> None:
    """The ring a circle is drawn by has its corners off the board: √2 r from the middle for four of them."""
    far = [math.dist((c.x, c.y), (RADIUS, RADIUS)) for c in polygon_circle(4, 0.0)]
    assert far == pytest.approx([RADIUS * math.sqrt(2)] * 4)
