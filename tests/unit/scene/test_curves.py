"""Arcs and Béziers against closed formulas and svgpathtools."""

from itertools import pairwise
from math import cos, dist, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgpathtools import CubicBezier

from app.scene import curves
from app.scene.bounds import arc_ends, bounds
from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Line, LineTo, Path, Point, Style, Text

coordinates = st.floats(-500.0, 500.0)
points = st.tuples(coordinates, coordinates)
sweeps = st.floats(0.5, 360.0).flatmap(lambda size: st.sampled_from((size, -size)))
INK = Style()


@given(centre=points, radius=st.floats(0.5, 200.0), start=st.floats(-400.0, 400.0), sweep=sweeps)
def test_beziers_of_an_arc_stay_on_the_circle(centre: Point, radius: float, start: float, sweep: float) -> None:
    begin = curves.at_angle(centre, radius, start)
    end = curves.at_angle(centre, radius, start + sweep)
    here = begin
    for cubic in curves.arc_to_cubics(begin, end, centre, sweep):
        for step in range(11):
            point = curves.cubic_point(here, cubic, step / 10)
            # Largest radial error of a Bézier over 45 degrees with handles 4/3·tan(θ/4): 4.3e-6 of the radius.
            assert abs(dist(point, centre) - radius) <= 4.5e-6 * radius + 1e-9
        here = cubic[2]
    assert here == end


def test_error_of_a_bezier_arc_follows_the_published_formula() -> None:
    # For a quarter turn and handles of 4/3·(√2 − 1) the radius errs by at most +2.7253e-4 (common practice;
    # from memory); an eighth of a turn has 2⁻⁶ of that, because the error goes with the sixth power.
    handle = 4 / 3 * tan(radians(45 / 4))
    end = complex(cos(radians(45)), sin(radians(45)))
    curve = CubicBezier(1 + 0j, 1 + 1j * handle, end - 1j * end * handle, end)
    worst = max(abs(abs(curve.point(t / 1000)) - 1) for t in range(1001))
    assert worst == pytest.approx(2.7253e-4 / 2**6, rel=0.02)


@given(start=points, one=points, two=points, end=points, tolerance=st.sampled_from((0.001, 0.01, 0.5)))
def test_flattened_bezier_stays_within_the_tolerance(
    start: Point, one: Point, two: Point, end: Point, tolerance: float
) -> None:
    cubic = (one, two, end)
    ends = [start, *curves.flatten_cubic(start, cubic, tolerance)]
    assert ends[-1] == end
    for i, (a, b) in enumerate(pairwise(ends)):
        if i % 97:  # a sample of the chords is enough
            continue
        for part in (0.25, 0.5, 0.75):
            x, y = curves.cubic_point(start, cubic, (i + part) / (len(ends) - 1))
            along = ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / (dist(a, b) ** 2 or 1.0)
            along = min(1.0, max(0.0, along))
            foot = a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1])
            assert dist((x, y), foot) <= tolerance * (1 + 1e-6) + 1e-9


@given(start=points, one=points, two=points, end=points)
def test_bounds_of_a_bezier_agree_with_svgpathtools(start: Point, one: Point, two: Point, end: Point) -> None:
    path = Path(start, (CubicTo(one, two, end),), INK)
    x0, x1, y0, y1 = CubicBezier(*(complex(*point) for point in (start, one, two, end))).bbox()
    assert bounds([path]) == pytest.approx((x0, y0, x1, y1), abs=1e-6)


@given(centre=points, radius=st.floats(0.5, 200.0), start=st.floats(-400.0, 400.0), sweep=sweeps)
def test_bounds_of_an_arc_are_those_of_its_points(centre: Point, radius: float, start: float, sweep: float) -> None:
    arc = Arc(centre, radius, start, sweep, INK)
    box = bounds([arc])
    assert box is not None
    dense = [curves.at_angle(centre, radius, start + sweep * i / 2000) for i in range(2001)]
    xs, ys = zip(*dense, strict=True)
    # Between two of 2000 points a circle rises by at most r·(1 − cos(step / 2)).
    slack = radius * (1 - cos(radians(abs(sweep) / 4000))) + 1e-6
    assert box[0] == pytest.approx(min(xs), abs=slack)
    assert box[1] == pytest.approx(min(ys), abs=slack)
    assert box[2] == pytest.approx(max(xs), abs=slack)
    assert box[3] == pytest.approx(max(ys), abs=slack)
    as_path = Path(arc_ends(arc)[0], (ArcTo(arc_ends(arc)[1], centre, sweep),), INK)
    assert bounds([as_path]) == pytest.approx(box, abs=1e-6)


def test_bounds_follow_the_shift_of_groups_and_may_leave_out_text() -> None:
    inner = Group((Circle((0.0, 0.0), 5.0, INK), Line((0.0, 0.0), (0.0, 8.0), INK)), shift=(10.0, 0.0))
    outer = Group((inner, Text((100.0, 100.0), "far", 4.0, INK)), shift=(0.0, 20.0))
    assert bounds([outer], with_text=False) == (5.0, 15.0, 15.0, 28.0)
    box = bounds([outer])
    assert box is not None
    assert box[2] > 100.0
    assert bounds([]) is None


def test_pieces_of_an_arc_are_no_larger_than_asked() -> None:
    pieces = curves.arc_pieces((1.0, 0.0), (1.0, 0.0), (0.0, 0.0), -360.0, 180.0)
    assert [sweep for _, sweep in pieces] == [-180.0, -180.0]
    assert pieces[0][0] == pytest.approx((-1.0, 0.0))
    assert len(curves.arc_pieces((1.0, 0.0), (0.0, 1.0), (0.0, 0.0), 90.0, 45.0)) == 2


def test_bounds_of_a_path_with_a_half_turn() -> None:
    path = Path((0.0, 0.0), (LineTo((10.0, 0.0)), ArcTo((10.0, 20.0), (10.0, 10.0), 180.0)), INK, closed=True)
    assert bounds([path]) == pytest.approx((0.0, 0.0, 20.0, 20.0))


def test_an_arc_that_turns_by_nothing_is_one_piece() -> None:
    """As a corner is whose rounding is lost in the last digit: a drawing with one could not be written."""
    assert curves.arc_pieces((1.0, 0.0), (1.0, 0.0), (0.0, 0.0), 0.0, 0.0) == [((1.0, 0.0), 0.0)]
