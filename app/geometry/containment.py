"""How much room a convex shape has inside another, exactly."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.geometry.shapes import Point, Shape


def room_inside(inner: Shape, outer: Shape) -> float:
    """Least distance from the rim of ``inner`` out to the rim of ``outer`` along any direction [mm].

    Negative by how far ``inner`` reaches out. The height of a core grown by a radius along a direction is that of
    its furthest corner, plus the radius. The difference of two such heights is least along the normal of a side, or
    along the line from a corner of the one to a corner of the other.
    """
    directions = [*_normals(outer.core), *_normals(inner.core), *_spokes(inner.core, outer.core)]
    heights = (_height(outer.core, n) - _height(inner.core, n) for n in directions or [(1.0, 0.0)])
    return min(heights) + outer.radius - inner.radius


def _height(core: Sequence[Point], n: Point) -> float:
    return max(x * n[0] + y * n[1] for x, y in core)


def _normals(core: Sequence[Point]) -> Iterator[Point]:
    for (ax, ay), (bx, by) in zip(core, [*core[1:], core[0]], strict=True):
        length = math.hypot(bx - ax, by - ay)
        if length > 0:
            yield ((by - ay) / length, (ax - bx) / length)


def _spokes(inner: Sequence[Point], outer: Sequence[Point]) -> Iterator[Point]:
    for ax, ay in inner:
        for bx, by in outer:
            length = math.hypot(bx - ax, by - ay)
            if length > 0:
                yield ((ax - bx) / length, (ay - by) / length)
