"""A batten, the thin strip a builder bends through plotted points, and how far it runs from the true curve.

It is reckoned as a natural cubic spline over the lengths of the chords between the points: a thin strip takes the form
of least bending, which for small slopes between points is a cubic, and its free ends past the first and last pin
carry no moment, so nothing bends it there. (A not-a-knot spline would bend it at its ends as if somebody held it.)
"""

from __future__ import annotations

import numpy as np

from app.geometry.conic import Conic, Floats

BETWEEN = 16
"""Places looked at between two points."""


def batten_points(points: Floats, between: int = BETWEEN) -> Floats:
    """The batten at places between its points, shape ((n - 1) · between, 2) [mm].

    Args:
        points: what it is bent through, in order, no two neighbours alike, shape (n, 2), n at least 2 [mm].
        between: places in each interval, as far apart along the chord; the ends of intervals are the points.
    """
    ahead = np.diff(points, axis=0)
    length = np.hypot(ahead[:, 0], ahead[:, 1])
    bends = _bends(points, length)
    share = np.arange(1, between + 1) / (between + 1)
    t, s = share[None, :, None], 1 - share[None, :, None]
    h = length[:, None, None]
    low, high = points[:-1, None], points[1:, None]
    sway = ((s**3 - s) * bends[:-1, None] + (t**3 - t) * bends[1:, None]) * h * h / 6
    found: Floats = (s * low + t * high + sway).reshape(-1, 2)
    return found


def batten_strays(curve: Conic, points: Floats, places: Floats) -> Floats:
    """How far the batten runs from a curve at most in each interval between its points, shape (n - 1,) [mm].

    Args:
        curve: the true curve; past its ends it runs on straight.
        points: what the batten is bent through, shape (n, 2) [mm].
        places: their parameters on the curve, shape (n,).
    """
    share = np.arange(1, BETWEEN + 1) / (BETWEEN + 1)
    near = (places[:-1, None] * (1 - share) + places[1:, None] * share).ravel()
    inner = curve.apart(batten_points(points), near).reshape(-1, BETWEEN).max(axis=1)
    ends = curve.apart(points, places)
    found: Floats = np.maximum(inner, np.maximum(ends[:-1], ends[1:]))
    return found


def _bends(points: Floats, length: Floats) -> Floats:
    """Second derivatives at the points, none at the ends, shape (n, 2): one sweep down the rows and one back."""
    count = len(points)
    found = np.zeros((count, 2))
    if count < 3:
        return found
    slopes = np.diff(points, axis=0) / length[:, None]
    right = (6 * np.diff(slopes, axis=0)).tolist()
    h = length.tolist()
    over: list[float] = []
    rows: list[tuple[float, float]] = []
    last, (px, py) = 0.0, (0.0, 0.0)
    for k in range(count - 2):
        pivot = 2 * (h[k] + h[k + 1]) - h[k] * last
        px, py = (right[k][0] - h[k] * px) / pivot, (right[k][1] - h[k] * py) / pivot
        last = h[k + 1] / pivot
        over.append(last)
        rows.append((px, py))
    x, y = 0.0, 0.0
    for k in range(count - 3, -1, -1):
        x, y = rows[k][0] - over[k] * x, rows[k][1] - over[k] * y
        found[k + 1] = (x, y)
    return found
