"""Distances between shapes and to a board's rim, against shapely with fine arcs and against plain geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from app.geometry import boundary, openings
from app.geometry.boundary import Boundary
from app.geometry.clearance import ShapeSet, shape_set
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import Shape, circle, rectangle, slot

# A quarter circle of radius r in 4096 steps is off by r·(1 − cos(π / 16384)) < 1e-6 mm for r ≤ 50 mm.
QUARTER = 4096
place = st.floats(-200, 200).map(lambda v: round(v, 3))
size = st.floats(1, 80).map(lambda v: round(v, 3))


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    x, y, angle = draw(place), draw(place), draw(st.integers(0, 359))
    a, b = draw(size), draw(size)
    kind = draw(st.sampled_from(["circle", "slot", "rectangle", "rounded"]))
    if kind == "circle":
        return circle(a, x, y)
    if kind == "slot":
        return slot(max(a, b), min(a, b), x, y, angle)
    corner = 0.25 * min(a, b) if kind == "rounded" else 0.0
    return rectangle(a, b, x, y, angle, corner)


def core(shape: Shape) -> shapely.Geometry:
    """The core as shapely sees it."""
    if shape.is_circle:
        return shapely.Point(shape.core[0])
    return shapely.LineString(shape.core) if len(shape.core) == 2 else shapely.Polygon(shape.core)


@given(st.lists(shapes(), min_size=2, max_size=12))
def test_pairs_are_as_far_apart_as_shapely_says(found: list[Shape]) -> None:
    pairs = shape_set(found).within(1e9)
    assert len(pairs) == math.comb(len(found), 2)
    for i, j, d in zip(pairs.first, pairs.second, pairs.distance, strict=True):
        a, b = found[i], found[j]
        cores = shapely.distance(core(a), core(b))
        if cores > 0:
            assert d == pytest.approx(cores - a.radius - b.radius, abs=1e-9)
        else:
            assert d <= -(a.radius + b.radius) + 1e-9


share = st.floats(-0.6, 0.6)


@given(shapes(), shapes(), share, share)
def test_an_overlap_is_the_least_shift_that_parts(a: Shape, b: Shape, right: float, up: float) -> None:
    reach = a.reach + b.reach
    b = b.placed(a.centre[0] - b.centre[0] + right * reach, a.centre[1] - b.centre[1] + up * reach)
    pairs = shape_set([a, b]).within(1e9)
    depth = -float(pairs.distance[0])
    assume(depth > 0.01)
    way = shape_set([a]).gaps(np.array([0]), shape_set([b]), np.array([0])).direction[0]
    assert math.hypot(*way) == pytest.approx(1)
    moved = Shape(tuple((x + way[0] * depth, y + way[1] * depth) for x, y in b.core), b.radius)
    assert shape_set([a, moved]).within(1e9).distance[0] == pytest.approx(0, abs=1e-6)
    for k in range(24):  # no shorter shift in any of these directions parts them
        turn = math.radians(15 * k)
        short = 0.999 * depth
        near = Shape(tuple((x + math.cos(turn) * short, y + math.sin(turn) * short) for x, y in b.core), b.radius)
        assert shape_set([a, near]).within(1e9).distance[0] < 0


def test_only_pairs_within_reach_are_found_and_each_once() -> None:
    found = shape_set([circle(10, 0, 0), circle(10, 14, 0), circle(10, 40, 0), slot(30, 10, 0, 20)])
    pairs = found.within(5.0)
    assert {(int(i), int(j)): d for i, j, d in zip(pairs.first, pairs.second, pairs.distance, strict=True)} == {
        (0, 1): pytest.approx(14 - 10)
    }
    assert set(zip(*(a.tolist() for a in (found.within(10.5).first, found.within(10.5).second)), strict=True)) == {
        (0, 1),
        (0, 3),
        (1, 3),
    }


@pytest.mark.parametrize("n", [40, 900])
def test_the_dense_and_the_tree_search_find_the_same_pairs(n: int) -> None:
    chance = np.random.default_rng(n)
    found = [circle(d, x, y) for d, x, y in chance.uniform((5, 0, 0), (30, 60 * n**0.5, 60 * n**0.5), (n, 3))]
    found += [rectangle(20, 9, x, y, a) for x, y, a in chance.uniform(0, 60 * n**0.5, (n // 4, 3))]
    sets = shape_set(found)
    pairs = sets.within(7.0)
    got = {(int(i), int(j)) for i, j in zip(pairs.first, pairs.second, strict=True)}
    want = set()
    for i, a in enumerate(found):
        reach = np.hypot(*(sets.centres - sets.centres[i]).T) - sets.reaches - sets.reaches[i]
        for j in np.flatnonzero(reach < 7.0):
            if i < j and shapely.distance(core(a), core(found[j])) - a.radius - found[j].radius < 7.0:
                want.add((i, int(j)))
    assert got == want
    half = len(found) // 2
    across = shape_set(found[:half]).against(shape_set(found[half:]), 7.0)
    assert {(int(i), int(j) + half) for i, j in zip(across.first, across.second, strict=True)} == {
        (i, j) for i, j in want if i < half <= j
    }


BOARD = Outline(
    (
        Corner(0, 0),
        Corner(400, 0, (30, 30)),
        Corner(400, 120, (20, 45)),
        Corner(250, 160, (25, 25)),  # a reflex corner, set back: it bulges into the board
        Corner(250, 240),
        Corner(60, 240, (60, 60)),
        Corner(0, 150),
    )
)
OPENING = Outline((Corner(80, 60, (8, 8)), Corner(140, 60, (8, 8)), Corner(140, 110), Corner(80, 110)))
ROUND_OPENING = Outline(tuple(Corner(x, y, (12, 12)) for x, y in ((300, 40), (324, 40), (324, 64), (300, 64))))
BOUNDARY = Boundary(BOARD, (OPENING, ROUND_OPENING))
on_board = st.tuples(st.floats(-20, 420), st.floats(-20, 260))


@given(st.lists(on_board, min_size=1, max_size=40))
def test_points_are_on_the_board_where_shapely_says(points: list[tuple[float, float]]) -> None:
    x, y = np.array(points).T
    rim = shapely.get_parts(BOUNDARY.polygon.boundary)
    clear = shapely.distance(shapely.points(points)[:, None], rim).min(axis=1) > 0.001
    assert (BOUNDARY.contains(x, y) == shapely.contains_xy(BOUNDARY.polygon, x, y))[clear].all()
    d, nx, ny = BOUNDARY.point_distances(x, y)
    want = shapely.distance(shapely.points(points)[:, None], rim).min(axis=1)
    assert d == pytest.approx(want, abs=0.0006)  # shapely's rim is chords, 0.0005 mm off
    assert np.hypot(nx - x, ny - y) == pytest.approx(d, abs=1e-9)


@given(st.lists(shapes().map(lambda s: s.placed(200, 120)), min_size=1, max_size=6))
def test_shapes_are_as_far_inside_as_shapely_says(found: list[Shape]) -> None:
    polygon, rim = BOUNDARY.polygon, BOUNDARY.polygon.boundary
    d, nx, ny = BOUNDARY.inside_distances(found)
    for shape, got, x, y in zip(found, d, nx, ny, strict=True):
        whole = core(shape)
        want = shapely.distance(whole, rim)
        if shapely.contains_properly(polygon, whole):
            assert got == pytest.approx(want - shape.radius, abs=0.0006)
            assert shapely.distance(shapely.Point(x, y), rim) < 0.0006
            assert shapely.distance(shapely.Point(x, y), whole) == pytest.approx(want, abs=0.0006)
        elif want > 0.001:  # all of it outside
            assert got < -shape.radius
        else:
            assert got <= -shape.radius + 0.0006


def test_a_board_is_left_by_how_far_a_circle_hangs_over() -> None:
    boundary = Boundary(rectangle_outline(300, 200))
    d, nx, ny = boundary.inside_distances([circle(20, 4, 100), circle(20, -3, 100), circle(20, 150, 100)])
    assert d == pytest.approx([4 - 10, -3 - 10, 100 - 10])
    assert (nx[0], ny[0]) == (0, 100)


def test_a_part_over_an_opening_smaller_than_itself_is_off_the_board() -> None:
    square = Outline(tuple(Corner(x, y) for x, y in ((90, 90), (110, 90), (110, 110), (90, 110))))
    hole = Outline(tuple(Corner(x, y, (10, 10)) for x, y in ((90, 90), (110, 90), (110, 110), (90, 110))))
    for opening in (square, hole):
        boundary = Boundary(rectangle_outline(300, 200), (opening,))
        assert boundary.inside_distances([rectangle(60, 60, 100, 100)])[0][0] < 0
        assert boundary.inside_distances([rectangle(20, 20, 140, 100)])[0][0] == pytest.approx(20)


def test_one_edge_can_be_asked_for() -> None:
    boundary = Boundary(rectangle_outline(300, 200, setback=40))
    shape = [circle(10, 100, 30), rectangle(20, 10, 250, 150)]
    assert boundary.inside_distances(shape, "front")[0] == pytest.approx([30 - 5, 150 - 5])
    # A set-back corner belongs to an edge as far as its normal turns, 45 degrees: to the left one up to this point.
    turned = 40 * (1 - math.cos(math.pi / 4)), 160 + 40 * math.sin(math.pi / 4)
    to_corner = math.dist(turned, (250 - 10, 150 + 5))
    assert boundary.inside_distances(shape, "left")[0] == pytest.approx([100 - 5, to_corner])
    assert boundary.inside_distances(shape, "right")[0] == pytest.approx([200 - 5, 50 - 10])
    assert Boundary(rectangle_outline(300, 200)).inside_distances([], "front")[0].shape == (0,)


@pytest.mark.parametrize("radius", [28.2, 24.0, 17.3, 1 / 3])
@pytest.mark.parametrize("turned", [False, True])
def test_a_point_on_the_very_chord_of_a_set_back_corner_is_on_the_board_by_its_arc(radius: float, turned: bool) -> None:
    """Rounding puts such a point on either side of the chord; how far it is from the arc's middle says what is true."""
    shape = [(0.0, 0.0), (346.8, 0.0), (346.8, 273.8), (242.76, 273.8), (242.76, 136.9), (0.0, 136.9)]
    if turned:
        shape = [(-y, x) for x, y in shape]
    rim = Boundary(Outline(tuple(Corner(x, y, (radius, radius)) for x, y in shape)))
    before, after = [*shape[-1:], *shape[:-1]], [*shape[1:], *shape[:1]]
    for a, corner, b in zip(before, shape, after, strict=True):
        to_a, to_b = (np.subtract(end, corner) / math.dist(end, corner) for end in (a, b))
        middle, start, end = corner + radius * (to_a + to_b), corner + radius * to_a, corner + radius * to_b
        share = np.linspace(0.001, 0.999, 999)[:, None]
        x, y = (start + share * (end - start)).T
        hollow = to_a[0] * to_b[1] - to_a[1] * to_b[0] > 0
        assert (rim.contains(x, y) == (not hollow)).all()
        off = np.hypot(x - middle[0], y - middle[1])
        found = rim.inside_distances([Shape(((float(px), float(py)),), 1e-9) for px, py in zip(x, y, strict=True)])[0]
        assert found == pytest.approx((off - radius) if hollow else (radius - off), abs=1e-6)


def bent_openings(count: int) -> tuple[Outline, ...]:
    """Bent openings, no two of them near each other, in a row of ``count``."""
    corner = ((0, 0), (16, 0), (16, 6), (6, 6), (6, 16), (0, 16))
    return tuple(Outline(tuple(Corner(20 + 40 * k + x, 20 + y) for x, y in corner)) for k in range(count))


def test_of_many_openings_only_those_are_asked_that_a_shape_may_reach_into(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = 0
    exact = openings.out_of_opening

    def counting(opening: Outline, given: ShapeSet) -> tuple[openings.Floats, ...]:
        nonlocal asked
        asked += len(given)
        return exact(opening, given)

    monkeypatch.setattr(boundary, "out_of_opening", counting)
    bent, n = bent_openings(30), 30
    rim = rectangle_outline(40.0 * n + 20, 60)
    # In the angle of the first opening, over the arm of the second, beside the third, half off the board …
    places = [(30, 30), (63, 33), (107, 40), (0, 30), (20 + 40 * (n - 1), 20)]
    given = shape_set([circle(4, x, y) for x, y in places] + [slot(60, 4, 300, 28, 0), rectangle(9, 9, 260, 30, 45)])
    found = Boundary(rim, bent).inside_distances(given)[0]
    assert asked <= 3 * len(given), "not each of every opening"
    alone = [Boundary(rim, (opening,)).inside_distances(given)[0] for opening in bent]
    assert found == pytest.approx(np.min(alone, axis=0), abs=1e-9)
