"""Are there as many holes in a pattern as its boundary takes, and are they as open as published?

Boundaries, insets and areas by shapely; where holes may stand by the definition of each order (two steps from one
nearest hole to the next); open area of a wide field by the formulas that makers of perforated sheet publish: round
holes staggered at 60° 90.69 (d/p)² %, in squares 78.54 (d/p)² %, at 45° the same of the pitch between nearest holes.
"""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_of
from app.document.schema import CornerEntry
from app.model.pattern import Pattern
from tests.long_run import examples

Floats = npt.NDArray[np.float64]
Order = Literal["square", "staggered-60", "staggered-45"]

HALF = math.sqrt(0.5)
STEPS: dict[Order, Floats] = {
    "square": np.array([[1.0, 0.0], [0.0, 1.0]]),
    "staggered-60": np.array([[1.0, 0.0], [0.5, math.sqrt(3) / 2]]),
    "staggered-45": np.array([[HALF, HALF], [HALF, -HALF]]),
}
"""From one hole to two of its nearest, in pitches."""
PUBLISHED: dict[Order, float] = {"square": 78.54, "staggered-60": 90.69, "staggered-45": 78.54}
"""Open area in % of a field of holes of diameter d at pitch p, over (d/p)²."""
FINE = 1024
"""Chords of a quarter circle: those of one 300 mm wide are off by 0.00005 mm."""
NEAR = 1e-3
"""A hole nearer than this to where it no longer fits may be counted or not [mm]."""


def places(order: Order, pitch: float, reach: float) -> Floats:
    """Every place of an order about a hole in the middle, as far as ``reach`` [mm], shape (n, 2)."""
    many = int(2 * reach / pitch) + 2
    counts = np.stack(np.meshgrid(*[np.arange(-many, many + 1)] * 2), axis=-1).reshape(-1, 2)
    return np.asarray(counts @ (STEPS[order] * pitch))


def polygon(boundary: BoundaryEntry) -> shapely.Polygon:
    """The boundary, by shapely's own circles and rounding."""
    if boundary.shape == "circle":
        return shapely.Point(0, 0).buffer(boundary.width / 2, quad_segs=FINE)
    if boundary.shape == "outline":
        return shapely.Polygon([(c.x, c.y) for c in boundary.corners])
    wide, high, corner = boundary.width, boundary.height, boundary.corner
    inner = shapely.box(corner - wide / 2, corner - high / 2, wide / 2 - corner, high / 2 - corner)
    return inner.buffer(corner, quad_segs=FINE) if corner else inner


def room(boundary: BoundaryEntry, at: Floats) -> Floats:
    """How far inside the boundary each place is, by shapely; negative outside [mm]."""
    whole, points = polygon(boundary), shapely.points(at)
    rim = whole.exterior
    shapely.prepare([whole, rim])
    return np.where(shapely.contains(whole, points), 1.0, -1.0) * shapely.distance(rim, points)


sizes = st.floats(20.0, 300.0).map(lambda size: round(size, 2))


@st.composite
def boundaries(draw: st.DrawFn) -> BoundaryEntry:
    """A circle, a rounded rectangle, or a star-shaped outline of straight edges, each with an inset."""
    inset = round(draw(st.floats(0.0, 8.0)), 2)
    shape = draw(st.sampled_from(["circle", "rectangle", "outline"]))
    if shape == "circle":
        return BoundaryEntry(width=draw(sizes), inset=inset)
    if shape == "rectangle":
        wide, high = draw(sizes), draw(sizes)
        corner = round(draw(st.floats(0.0, 0.45)) * min(wide, high), 2)
        return BoundaryEntry(shape="rectangle", width=wide, height=high, corner=corner, inset=inset)
    many = draw(st.integers(3, 9))
    far = draw(st.lists(st.floats(20.0, 150.0), min_size=many, max_size=many))
    turns = [2 * math.pi * k / many for k in range(many)]
    corners = tuple(CornerEntry(x=r * math.cos(t), y=r * math.sin(t)) for r, t in zip(far, turns, strict=True))
    return BoundaryEntry(shape="outline", corners=corners, inset=inset)


def made(order: Order, hole: float, pitch: float, boundary: BoundaryEntry) -> Pattern:
    return pattern_of(PatternEntry(id="p", order=order, hole=hole, pitch=pitch, boundary=boundary))


@examples(25)
@given(
    st.sampled_from(sorted(STEPS)), st.floats(3.0, 16.0), st.floats(1.2, 4.0), boundaries()
)  # fmt: skip
def test_every_hole_that_goes_inside_is_there_and_no_other(
    order: Order, hole: float, apart: float, boundary: BoundaryEntry
) -> None:
    pitch = hole * apart
    at = places(order, pitch, max(map(abs, polygon(boundary).bounds)) * math.sqrt(2))
    spare = room(boundary, at) - boundary.inset - hole / 2
    sure, perhaps = at[spare > NEAR], at[np.abs(spare) <= NEAR]
    found = made(order, hole, pitch, boundary).holes.centres
    assert len(sure) <= len(found) <= len(sure) + len(perhaps)
    for these, those in ((found, np.vstack([sure, perhaps])), (sure, found)):
        far = cKDTree(those).query(these)[0] if len(these) else np.zeros(0)
        assert far.max(initial=0.0) < 1e-6


@examples(10)
@given(st.sampled_from([*sorted(STEPS), "rings", "slots"]), st.floats(3.0, 12.0), boundaries())
def test_what_is_open_is_the_area_of_what_shapely_cuts_out(order: Any, hole: float, boundary: BoundaryEntry) -> None:
    """Holes that ran into each other, or over the boundary, would have less area together than one by one."""
    entry = PatternEntry(id="p", order=order, hole=hole, pitch=1.6 * hole, length=3 * hole, boundary=boundary)
    pattern = pattern_of(entry)
    half = (pattern.length - hole) / 2
    cut = [
        shapely.LineString([(x - half, y), (x + half, y)]).buffer(hole / 2, quad_segs=64)
        if half
        else shapely.Point(x, y).buffer(hole / 2, quad_segs=64)
        for x, y in pattern.holes.centres
    ]
    open_there = shapely.union_all(cut).intersection(polygon(boundary)).area if cut else 0.0
    assert pattern.open_area == pytest.approx(open_there, rel=2e-4)  # 256 chords have 0.01 % less area than a circle


@pytest.mark.parametrize(("hole", "pitch"), [(3.0, 5.0), (5.0, 8.0), (6.0, 9.0), (10.0, 17.5)])
@pytest.mark.parametrize("order", list(STEPS))
def test_a_hole_in_the_middle_of_a_field_has_the_published_share_open(order: Order, hole: float, pitch: float) -> None:
    """The board that is nearer to the middle hole than to any other, by shapely's Voronoi cells."""
    field = made(order, hole, pitch, BoundaryEntry(shape="rectangle", width=12 * pitch, height=12 * pitch))
    cells = shapely.voronoi_polygons(shapely.MultiPoint(field.holes.centres)).geoms
    (middle,) = [cell for cell in cells if cell.contains(shapely.Point(0, 0))]
    share = 100 * math.pi / 4 * hole**2 / middle.area
    assert share == pytest.approx(PUBLISHED[order] * (hole / pitch) ** 2, rel=1e-4)
