"""Distances between outlines, and between an outline and other shapes, as areas: curves as chords 0.0005 mm off."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from app.geometry.convex import Floats, gaps_between
from app.geometry.outline import Outline
from app.geometry.shapes import Point, Shape
from app.geometry.strips import Strip

if TYPE_CHECKING:
    import shapely

_ARC = 64  # chords to a quarter of a rounded corner: 0.008 % of its radius


class AreaGap(Struct, frozen=True):
    """What lies between two areas.

    Args:
        first, second: their indices.
        distance: between them [mm]; where they overlap, minus the least shift that parts their convex hulls.
        where: the middle between their nearest points, or of what they share [mm].
    """

    first: int
    second: int
    distance: float
    where: Point


@lru_cache(maxsize=64)
def gaps_among(outlines: tuple[Outline, ...], reach: float) -> tuple[AreaGap, ...]:
    """Every two outlines closer than ``reach`` mm, each two once."""
    found = _gaps(_areas(outlines), _areas(outlines), reach)
    return tuple(gap for gap in found if gap.first < gap.second)


@lru_cache(maxsize=64)
def gaps_to_rim(outlines: tuple[Outline, ...], rim: Outline, reach: float) -> tuple[AreaGap, ...]:
    """Outlines that come closer than ``reach`` mm to the rim they lie in; ``second`` is 0."""
    import shapely

    ring = shapely.LinearRing(rim.flattened())
    found = []
    for k, area in enumerate(_areas(outlines)):
        line = shapely.shortest_line(ring, area)
        if line.length < reach:
            middle = line.interpolate(0.5, normalized=True)
            found.append(AreaGap(k, 0, float(line.length), (float(middle.x), float(middle.y))))
    return tuple(found)


@lru_cache(maxsize=64)
def gaps_to_shapes(outlines: tuple[Outline, ...], shapes: tuple[Shape, ...], reach: float) -> tuple[AreaGap, ...]:
    """Every outline and shape closer than ``reach`` mm."""
    return tuple(_gaps(_areas(outlines), [_area(shape) for shape in shapes], reach))


@lru_cache(maxsize=64)
def gaps_to_strips(outlines: tuple[Outline, ...], strips: tuple[Strip, ...], reach: float) -> tuple[AreaGap, ...]:
    """Every outline and strip closer than ``reach`` mm; they part to the inside or past its ends, not over the edge."""
    beyond = [_area(strip.beyond) for strip in strips]
    return tuple(_gaps(_areas(outlines), [_area(strip.shape) for strip in strips], reach, beyond))


def _gaps(
    ones: Sequence[shapely.Polygon],
    others: Sequence[shapely.Polygon],
    reach: float,
    beyond: Sequence[shapely.Polygon] | None = None,
) -> list[AreaGap]:
    """Pairs closer than ``reach``; those that overlap are parted from the other's ``beyond``, if there are such."""
    import shapely

    near = shapely.STRtree(others).query(ones, predicate="dwithin", distance=reach)
    found = []
    for i, j in near.T.tolist():
        if ones[i] is others[j]:
            continue
        if ones[i].intersects(others[j]):
            shared = ones[i].intersection(others[j]).representative_point()
            depth = _depth(ones[i], (beyond or others)[j])
            found.append(AreaGap(i, j, -depth, (float(shared.x), float(shared.y))))
        else:
            middle = shapely.shortest_line(ones[i], others[j]).interpolate(0.5, normalized=True)
            found.append(AreaGap(i, j, float(ones[i].distance(others[j])), (float(middle.x), float(middle.y))))
    return found


def hull(points: Floats, radius: float) -> Shape:
    """The convex hull of circles of one radius [mm] about some points, shape (n, 2); n is at least 1."""
    import shapely

    around = shapely.convex_hull(shapely.MultiPoint(points))
    corners = shapely.get_coordinates(around)
    core = _core(corners[:-1])[0] if around.geom_type == "Polygon" else corners
    return Shape(tuple((float(x), float(y)) for x, y in core), radius)


def _depth(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """The least shift that parts the hulls of two areas [mm]."""
    import shapely

    first, second = (_core(shapely.get_coordinates(shapely.convex_hull(area))[:-1]) for area in (one, other))
    return -float(gaps_between(first, second).distance[0])


def _core(corners: Floats) -> Floats:
    """Corners as one core, anticlockwise, shape (1, n, 2) [mm]."""
    x, y = corners.T
    turned = (x * np.roll(y, -1) - y * np.roll(x, -1)).sum() < 0
    return (corners[::-1] if turned else corners)[None]


@lru_cache(maxsize=64)
def _areas(outlines: tuple[Outline, ...]) -> tuple[shapely.Polygon, ...]:
    import shapely

    return tuple(shapely.Polygon(o.flattened()) for o in outlines)


def _area(shape: Shape) -> shapely.Polygon:
    import shapely

    if not shape.radius:
        return shapely.Polygon(shape.core)
    return shapely.MultiPoint(shape.core).convex_hull.buffer(shape.radius, quad_segs=_ARC)
