"""Exact distances between convex cores, many pairs at once.

A core is a point, a segment or a convex polygon anticlockwise. Cores of different length stand in
one array: a shorter one repeats its last point, which adds edges of no length and changes nothing.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
_TINY = 1e-12
_TOUCHING = 1e-9  # overlaps below this are rounding, as of two segments in one line


class Gaps(Struct, frozen=True):
    """What lies between n pairs of convex cores.

    Args:
        distance: between the cores [mm]; where they overlap, minus the least shift that parts them, shape (n,).
        direction: unit vector along which the second core leaves the first soonest, shape (n, 2).
        nearest: the points of the first and of the second core that are nearest, shape (n, 2, 2) [mm].
    """

    distance: Floats
    direction: Floats
    nearest: Floats


def gaps_between(a: Floats, b: Floats) -> Gaps:
    """The gaps between n pairs of cores, rounding error of the arithmetic only.

    Args:
        a: first cores, shape (n, k, 2) [mm].
        b: second cores, shape (n, m, 2) [mm].

    Returns:
        One gap for each pair.
    """
    if a.shape[1] == b.shape[1] == 1:
        return _between_points(a[:, 0], b[:, 0])
    apart, toward, at_a, at_b = _nearest(a, b)
    depth, normal = _deepest_axis(a, b)
    distance = np.where(depth < -_TOUCHING, depth, apart)
    touching = (distance <= _TOUCHING) & np.isfinite(depth)  # two points have no edge to leave by
    direction = np.where(touching[:, None], normal, toward)
    return Gaps(distance, direction, np.stack((at_a, at_b), axis=1))


def lacks_between(a: Floats, b: Floats, need: Floats) -> tuple[Floats, Floats]:
    """What pairs of cores lack of the distance they need, and the way the second leaves the first soonest.

    Where the farthest of their axes tells already that they overlap, or that they are far enough apart, nothing more
    is worked out.

    Args:
        a: first cores, shape (n, k, 2) [mm].
        b: second cores, shape (n, m, 2) [mm].
        need: distance asked for, shape (n,) [mm].

    Returns:
        The lack, 0 where there is none, shape (n,) [mm], and the direction where there is one, shape (n, 2).
    """
    if a.shape[1] == b.shape[1] == 1:
        gaps = _between_points(a[:, 0], b[:, 0])
        return np.maximum(need - gaps.distance, 0.0), gaps.direction
    depth, direction = _deepest_axis(a, b)
    lack = np.maximum(need - depth, 0.0)  # no two are nearer than along their farthest axis, unless they have none
    unsure = np.flatnonzero((depth >= -_TOUCHING) & ((depth < need) | np.isinf(depth)))
    if len(unsure):
        gaps = gaps_between(a[unsure], b[unsure])
        lack[unsure], direction[unsure] = np.maximum(need[unsure] - gaps.distance, 0.0), gaps.direction
    return lack, direction


def _between_points(a: Floats, b: Floats) -> Gaps:
    way = b - a
    length = np.hypot(way[:, 0], way[:, 1])
    direction = way / np.maximum(length, _TINY)[:, None]
    direction[length <= _TINY] = (1.0, 0.0)
    return Gaps(length, direction, np.stack((a, b), axis=1))


def _nearest(a: Floats, b: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Least distance of any vertex of one core to any edge of the other, the way from a to b, and both ends."""
    d_b, foot_on_a, vertex_of_b = _vertices_to_edges(b, a)
    d_a, foot_on_b, vertex_of_a = _vertices_to_edges(a, b)
    first = d_b <= d_a
    at_a = np.where(first[:, None], foot_on_a, vertex_of_a)
    at_b = np.where(first[:, None], vertex_of_b, foot_on_b)
    apart = np.minimum(d_a, d_b)
    way = at_b - at_a
    length = np.hypot(way[:, 0], way[:, 1])[:, None]
    toward = np.where(length > _TINY, way / np.maximum(length, _TINY), _apart_by_centres(a, b))
    return apart, toward, at_a, at_b


def _vertices_to_edges(points: Floats, core: Floats) -> tuple[Floats, Floats, Floats]:
    """Distance of the vertex nearest to the core's rim, the foot on the rim, and the vertex."""
    px, py = points[:, :, None, 0], points[:, :, None, 1]
    sx, sy = core[:, None, :, 0], core[:, None, :, 1]
    ax, ay = np.roll(sx, -1, axis=2) - sx, np.roll(sy, -1, axis=2) - sy
    length2 = np.maximum(ax**2 + ay**2, _TINY**2)
    t = np.minimum(np.maximum(((px - sx) * ax + (py - sy) * ay) / length2, 0.0), 1.0)
    fx, fy = sx + t * ax, sy + t * ay
    n, all_pairs = len(points), points.shape[1] * core.shape[1]
    d = np.hypot(px - fx, py - fy).reshape(n, all_pairs)
    k, rows = d.argmin(axis=1), np.arange(n)
    foot = np.stack((fx.reshape(n, all_pairs)[rows, k], fy.reshape(n, all_pairs)[rows, k]), axis=1)
    return d[rows, k], foot, points[rows, k // core.shape[1]]


def _deepest_axis(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """The edge normal, pointing from a to b, along which the cores are furthest apart (or overlap least)."""
    depth_a, normal_a = _along_normals(a, b)
    depth_b, normal_b = _along_normals(b, a)
    first = depth_a >= depth_b
    depth, normal = np.where(first, depth_a, depth_b), np.where(first[:, None], normal_a, -normal_b)
    return np.where(np.isneginf(depth), np.inf, depth), normal


def _along_normals(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    ax, ay = a[..., 0], a[..., 1]
    along_x, along_y = np.roll(ax, -1, axis=1) - ax, np.roll(ay, -1, axis=1) - ay
    length = np.hypot(along_x, along_y)
    some = np.maximum(length, _TINY)
    nx, ny = along_y / some, -along_x / some
    # The lowest of b along each normal of a, less the height of the edge itself.
    heights = nx[:, :, None] * b[:, None, :, 0] + ny[:, :, None] * b[:, None, :, 1]
    lowest = np.where(length > _TINY, heights.min(axis=2) - (nx * ax + ny * ay), -np.inf)
    k = lowest.argmax(axis=1)
    rows = np.arange(len(a))
    return lowest[rows, k], np.stack((nx[rows, k], ny[rows, k]), axis=1)


def _apart_by_centres(a: Floats, b: Floats) -> Floats:
    """Unit vectors between the middles, along x where those coincide: a way out for cores that touch."""
    way = (b.min(axis=1) + b.max(axis=1) - a.min(axis=1) - a.max(axis=1)) / 2
    length = np.hypot(way[:, 0], way[:, 1])[:, None]
    return np.where(length > _TINY, way / np.maximum(length, _TINY), np.array([1.0, 0.0]))
