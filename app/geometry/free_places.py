"""Where a convex thing may have its middle on a face so that it touches nothing: places, the nearest first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from app.geometry.outline import Outline
from app.geometry.shapes import Point, Shape

_STEP: Final = 5.0  # mm between places looked at
_MOST: Final = 60_000  # places looked at in all: on a large face they lie farther apart
_SAG: Final = 0.05  # mm


def free_places(
    outline: Outline, openings: Sequence[Outline], taken: Sequence[Shape], thing: Shape, gap: float, near: Point
) -> list[Point]:
    """Places for the middle of ``thing`` inside a face and clear of what is there, the nearest to ``near`` first.

    A thing meets another where its middle is in the other grown by the thing turned about its middle (Minkowski sum).

    Args:
        outline: the rim.
        openings: holes of the face.
        taken: what is there.
        thing: about its middle (0, 0) [mm].
        gap: kept to the rim, openings and what is there [mm].
        near: where it is wanted [mm].
    """
    import shapely

    x0, y0, x1, y1 = outline.bounds
    step = max(_STEP, ((x1 - x0) * (y1 - y0) / _MOST) ** 0.5)
    xs, ys = np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step)
    places = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    reach = thing.radius + gap
    core = np.array(thing.core, np.float64)
    face = shapely.Polygon(outline.flattened(_SAG), [ring.flattened(_SAG) for ring in openings]).buffer(-reach)
    free = np.ones(len(places), np.bool_)
    shapely.prepare(face)
    for corner in core:
        free &= shapely.contains_xy(face, *(places + corner).T)
    places = places[free]
    blocked = [
        shapely.MultiPoint((np.array(each.core)[:, None] - core[None]).reshape(-1, 2)).convex_hull.buffer(
            each.radius + reach
        )
        for each in taken
    ]
    if blocked and len(places):
        hit = shapely.STRtree(blocked).query(shapely.points(places), predicate="within")[0]
        clear = np.ones(len(places), np.bool_)
        clear[hit] = False
        places = places[clear]
    far = np.hypot(places[:, 0] - near[0], places[:, 1] - near[1])
    return [(float(x), float(y)) for x, y in places[np.lexsort((places[:, 0], places[:, 1], far.round(3)))]]
