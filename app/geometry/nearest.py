"""How far each of many places is from the nearest of the others, and which of others are near it."""

from __future__ import annotations

import numpy as np

from app.geometry.convex import Floats, Ints


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


class Places:
    """Places that may be asked for again and again, each time for what lies about it and not for what there is in all.

    Args:
        points: the places, shape (m, 2), in any unit.
    """

    def __init__(self, points: Floats) -> None:
        import shapely

        self._tree = shapely.STRtree(np.asarray(shapely.points(points)))

    def near(self, points: Floats, within: float) -> tuple[Ints, Ints]:
        """Which of the places lie near each point.

        Args:
            points: points, shape (n, 2), in the unit of the places.
            within: how far apart the two of a pair are at most, in that unit, at least 0.

        Returns:
            Rows of ``points`` and of the places, shape (k,) each: by the first, then by the second.
        """
        import shapely

        i, j = self._tree.query(shapely.points(points), "dwithin", within)
        order = np.lexsort((j, i))
        return i[order], j[order]
