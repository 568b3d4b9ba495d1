"""How far shapes reach into an inner opening: the least shift that takes them out of it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from app.geometry.clearance import ShapeSet
from app.geometry.convex import gaps_between
from app.geometry.outline import Outline

Floats = npt.NDArray[np.float64]
_SAME = 1e-6  # mm² by which an opening may differ from its hull and count as convex


def out_of_opening(opening: Outline, shapes: ShapeSet) -> tuple[Floats, Floats, Floats]:
    """Distance of shapes from an opening, less by the least shift that parts them where they overlap.

    Returns:
        distance, x and y of the place of the opening's rim it is measured from, each of shape (n,) [mm].
    """
    hull, convex = _hull(opening)
    if not convex:
        rows = [_out_of_any(opening, points, count) for points, count in zip(shapes.points, shapes.counts, strict=True)]
        distance, x, y = np.array(rows, np.float64).reshape(-1, 3).T
        return distance - shapes.radii, x, y
    points, every = shapes.points, np.arange(len(shapes))
    gap = gaps_between(np.broadcast_to(hull, (len(shapes), *hull.shape)), points)
    deepest = points[every, (points * gap.direction[:, None]).sum(axis=2).argmin(axis=1)]
    foot = np.where((gap.distance < 0)[:, None], deepest - gap.direction * gap.distance[:, None], gap.nearest[:, 0])
    return gap.distance - shapes.radii, foot[:, 0], foot[:, 1]


def _out_of_any(opening: Outline, points: Floats, count: int) -> tuple[float, float, float]:
    """The same of one core and an opening of any form, by what is left when the core is shrunk to its first corner.

    The core meets the opening where its first corner is in the sum of the opening and the core turned over; that sum
    is put together of the sums of triangles, which are convex.
    """
    import shapely

    core = points[:count]
    area = shapely.Polygon(opening.flattened())
    corners = [shapely.get_coordinates(t)[:3] for t in shapely.constrained_delaunay_triangles(area).geoms]
    sums = [shapely.convex_hull(shapely.MultiPoint((t[:, None] + core[0] - core).reshape(-1, 2))) for t in corners]
    met, at = shapely.union_all(sums), shapely.Point(core[0])
    rim = shapely.boundary(met)
    near = shapely.get_coordinates(shapely.shortest_line(rim, at))[0]
    inside = bool(met.contains(at))
    shift = near - core[0]
    distance = float(np.hypot(*shift)) * (-1.0 if inside else 1.0)
    if not inside:
        foot = shapely.get_coordinates(shapely.shortest_line(area, shapely.MultiPoint(core).convex_hull))[0]
        return distance, float(foot[0]), float(foot[1])
    deepest = core[(core @ shift).argmin()]
    return distance, float(deepest[0] + shift[0]), float(deepest[1] + shift[1])


@lru_cache(maxsize=256)
def _hull(opening: Outline) -> tuple[Floats, bool]:
    """The convex hull, anticlockwise, shape (n, 2) [mm], and whether the opening is as good as it."""
    import shapely

    area = shapely.Polygon(opening.flattened())
    hull = shapely.convex_hull(area)
    return shapely.get_coordinates(shapely.normalize(hull))[:0:-1].copy(), bool(hull.area - area.area < _SAME)
