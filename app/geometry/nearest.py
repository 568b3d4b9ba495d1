"""How far each of many places is from the nearest of the others."""

from __future__ import annotations

import numpy as np

from app.geometry.convex import Floats


def nearest_others(points: Floats) -> Floats:
    """Distance from each place to the nearest other one.

    Args:
        points: places, shape (n, 2), in any unit.

    Returns:
        Distances in that unit, shape (n,): 0 where another lies upon it, infinite where there is no other.
    """
    import shapely

    # The tree leaves out whatever lies upon the place it is asked about, so places come to it once each.
    places, which, count = np.unique(points, axis=0, return_inverse=True, return_counts=True)
    far = np.full(len(places), np.inf)
    at = np.asarray(shapely.points(places))
    found, distance = shapely.STRtree(at).query_nearest(at, exclusive=True, all_matches=False, return_distance=True)
    far[found[0]] = distance
    far[count > 1] = 0.0
    return far[which.ravel()]
