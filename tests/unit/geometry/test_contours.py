"""Rings of lines and curves: boxes and areas against formulas and shapely."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from app.geometry.contours import Contour, Pose, band, box_of, box_ring, disc, ring

PLACE = st.floats(-50, 50)
POINT = st.tuples(PLACE, PLACE)


def test_a_disc_has_the_box_and_nearly_the_area_of_a_circle() -> None:
    found = disc(3, -2, 5)
    assert found.box == pytest.approx((-2, -7, 8, 3))
    assert found.area == pytest.approx(25 * math.pi, rel=6e-4)  # handles of four quarters: 0.03 % outside at most
    assert disc(3, -2, 5, hole=True).area == pytest.approx(-found.area)


def test_a_band_has_the_area_between_its_two_arcs() -> None:
    assert band(0, 0, 10, 2, 30, 240).area == pytest.approx(240 / 360 * math.pi * (11**2 - 9**2), rel=6e-4)


def test_a_rectangle_has_its_area_and_turns_its_box() -> None:
    found = box_ring(1, 2, 4, 8)
    assert (found.area, found.box) == (18, (1, 2, 4, 8))
    turned = found.placed(Pose(x=10, y=0, cos=0, sin=1, size=2))
    assert turned.box == pytest.approx((-6, 2, 6, 8)) or turned.area == pytest.approx(72)
    assert box_of((found, ring(((9, 9), (10, 9), (9, 10))))) == (1, 2, 10, 10)


@given(POINT, st.lists(st.tuples(POINT, POINT, POINT), min_size=1, max_size=4))
def test_boxes_and_areas_are_those_of_very_fine_polygons(
    start: tuple[float, float], pieces: list[tuple[tuple[float, float], ...]]
) -> None:
    contour = Contour(start, tuple(pieces))
    fine = contour.polygon(400)
    xs, ys = zip(*fine, strict=True)
    assert contour.box == pytest.approx((min(xs), min(ys), max(xs), max(ys)), abs=0.01)
    area = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(fine, (*fine[1:], fine[0]), strict=True)) / 2
    assert contour.area == pytest.approx(area, abs=0.2)


def test_a_mirror_turns_a_ring_the_other_way_round() -> None:
    found = disc(3, 0, 2).placed(Pose(x=10, mirrored=True))
    assert found.box == pytest.approx((5, -2, 9, 2)) and found.area < 0
    assert Polygon(found.polygon()).is_valid
