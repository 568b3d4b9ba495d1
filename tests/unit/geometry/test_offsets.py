"""Tables of offsets: ordinates by formula and by other libraries, and battens by an independent spline."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from app.geometry.batten import BETWEEN, batten_points
from app.geometry.conic import Conic
from app.geometry.offsets import LIMIT, Plot, plot
from app.units import INCH
from tests.long_run import examples

MM = (1.0, 0.5)
INCHES = (INCH / 16, INCH / 32, INCH / 64)
STRAIGHT = 300.0
"""How far a batten is followed past the ends of a curve, along its straight edges [mm]."""


def quarter(radius: float) -> Conic:
    """The front right corner of a board whose right edge is at the radius: from (0, 0) to (radius, radius)."""
    return Conic((0.0, 0.0), (radius, 0.0), (radius, radius), math.sqrt(0.5))


def test_ordinates_of_a_quarter_circle_are_those_of_its_formula() -> None:
    """By y = r - sqrt(r² - x²) up to 45 degrees, and by symmetry x = sqrt(r² - (r - y)²) beyond."""
    r = 100.0
    found = plot(quarter(r), 10.0, (0.5,))
    # At 45 degrees, x = 70.7: the ordinate at y = 30 would be a mark 2 mm beside that at x = 70, and is left out.
    up = [(x, r - math.sqrt(r * r - x * x)) for x in range(10, 71, 10)]
    across = [(math.sqrt(r * r - (r - y) ** 2), y) for y in range(40, 100, 10)]
    assert np.allclose(found.true, [(0.0, 0.0), *up, *across, (r, r)], atol=1e-9)
    assert found.axes == (-1, *[0] * 7, *[1] * 6, -1)
    assert not any(found.added)


def test_ordinates_of_unequal_set_backs_are_those_of_their_ellipse() -> None:
    """Set back 120 and 60 from a square corner: the quarter of an ellipse with those half axes."""
    a, b = 120.0, 60.0
    found = plot(Conic((0.0, 0.0), (a, 0.0), (a, b), math.sqrt(0.5)), 10.0, (0.5,))
    x, y = found.true.T
    assert np.allclose((x / a) ** 2 + ((y - b) / b) ** 2, 1.0, atol=1e-9)
    # At 45 degrees x / a² = (b - y) / b²: x = a² / hypot(a, b) = 107.33, where ordinates begin to reach across.
    assert [round(v) for v, axis in zip(x, found.axes, strict=True) if axis == 0] == list(range(10, 101, 10))


def test_what_is_marked_is_what_the_rule_reads_nearest_to_the_curve() -> None:
    for readings in (MM, INCHES):
        found = plot(quarter(95.0), 4 * readings[0] * 2, readings)
        parts = found.marked / found.reading
        assert np.allclose(parts, np.round(parts), atol=1e-6)
        assert np.abs(found.marked - found.true).max() <= found.reading / 2 + 1e-9
        spaced = [k for k, axis in enumerate(found.axes) if axis >= 0]
        assert all(found.marked[k, found.axes[k]] == found.true[k, found.axes[k]] for k in spaced)


def test_a_rule_too_coarse_is_read_finer_and_what_it_would_have_come_to_is_told() -> None:
    """Where 1/16 in puts a mark more than the limit off, no batten through it can keep within it."""
    found = plot(quarter(700.0), INCH, INCHES)
    at = np.arange(INCH, 490.0, INCH)
    true = 700.0 - np.sqrt(700.0**2 - at**2)
    coarse = np.abs(true - np.round(true / INCHES[0]) * INCHES[0])
    slope = at / np.sqrt(700.0**2 - at**2)
    assert (coarse / np.hypot(1.0, slope)).max() > LIMIT
    assert found.reading < INCHES[0]
    assert found.asked > LIMIT >= found.strays


def test_points_are_put_in_where_ordinates_are_too_wide_apart_for_a_batten() -> None:
    found = plot(quarter(12.0), 20.0, (0.5,))
    assert any(found.added)
    assert strays_by_scipy(quarter(12.0), found) <= LIMIT


def test_the_batten_is_the_natural_spline_of_another_library() -> None:
    points = plot(quarter(80.0), 10.0, MM).marked
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    other = CubicSpline(along, points, bc_type="natural")
    share = np.arange(1, BETWEEN + 1) / (BETWEEN + 1)
    places = (along[:-1, None] + share * np.diff(along)[:, None]).ravel()
    assert np.allclose(batten_points(points), other(places), atol=1e-9)


def strays_by_scipy(curve: Conic, found: Plot) -> float:
    """How far scipy's natural spline through the marks runs from the curve and its straight edges, by shapely."""
    at = found.marked[np.concatenate(([True], np.any(np.diff(found.marked, axis=0) != 0, axis=1)))]
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(at, axis=0).T))))
    strip = CubicSpline(along, at, bc_type="natural")(np.linspace(0.0, along[-1], 40 * len(at)))
    line = shapely.LineString(traced(curve))
    return float(shapely.distance(line, shapely.points(strip)).max())


def traced(curve: Conic) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The curve as chords by the definition of a rational quadratic, with its straight edges."""
    t = np.linspace(0.0, 1.0, 8001)[:, None]
    u, m, v = (1 - t) ** 2, 2 * curve.weight * t * (1 - t), t * t
    a, c, b = (np.array(p) for p in (curve.a, curve.control, curve.b))
    on = (u * a + m * c + v * b) / (u + m + v)
    before = a - STRAIGHT * (c - a) / np.hypot(*(c - a))
    after = b + STRAIGHT * (b - c) / np.hypot(*(b - c))
    return np.vstack((before, on, after))


@st.composite
def curves(draw: st.DrawFn) -> Conic:
    """A set-back corner anywhere, turned anyhow, circular or not."""
    a = 10 ** draw(st.floats(0.5, 3.0))
    b = a if draw(st.booleans()) else a * 10 ** draw(st.floats(-0.6, 0.6))
    way, turn = draw(st.floats(0.0, 2 * math.pi)), draw(st.floats(0.1, 2.6)) * draw(st.sampled_from((-1, 1)))
    x, y = draw(st.floats(0.0, 2000.0)), draw(st.floats(0.0, 2000.0))
    start = (x - a * math.cos(way), y - a * math.sin(way))
    end = (x + b * math.cos(way + turn), y + b * math.sin(way + turn))
    return Conic(start, (x, y), end, math.cos(turn / 2))


@examples(12)
@given(curves(), st.sampled_from(((5.0, MM), (10.0, MM[1:]), (20.0, MM), (INCH / 2, INCHES), (INCH, INCHES[2:]))))
def test_points_lie_on_the_curve_and_a_batten_keeps_within_the_limit(
    curve: Conic, way: tuple[float, tuple[float, ...]]
) -> None:
    found = plot(curve, *way)
    apart = shapely.distance(shapely.LineString(traced(curve)), shapely.points(found.true))
    assert apart.max() <= 0.01
    assert found.strays <= LIMIT
    # The figure is taken at sixteen places between two points, scipy's at more.
    assert strays_by_scipy(curve, found) <= found.strays + 0.01
