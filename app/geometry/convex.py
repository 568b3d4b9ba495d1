"""Exact distances between convex cores, many pairs at once.

A core is a point, a segment or a convex polygon anticlockwise. Cores of different length stand in
one array: a shorter one repeats its last point, which adds edges of no length and changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
_TINY = 1e-12
_TOUCHING = 1e-9  # overlaps below this are rounding, as of two segments in one line


@dataclass(frozen=True)
class Gaps:
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
    start = core[:, None, :, :]
    along = np.roll(core, -1, axis=1)[:, None, :, :] - start
    length2 = np.maximum((along**2).sum(axis=3), _TINY**2)
    t = np.clip(((points[:, :, None, :] - start) * along).sum(axis=3) / length2, 0.0, 1.0)
    foot = start + t[..., None] * along
    gap = points[:, :, None, :] - foot
    n, all_pairs = len(points), points.shape[1] * core.shape[1]
    d = np.hypot(gap[..., 0], gap[..., 1]).reshape(n, all_pairs)
    k, rows = d.argmin(axis=1), np.arange(n)
    return d[rows, k], foot.reshape(n, all_pairs, 2)[rows, k], points[rows, k // core.shape[1]]


def _deepest_axis(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """The edge normal, pointing from a to b, along which the cores are furthest apart (or overlap least)."""
    depth_a, normal_a = _along_normals(a, b)
    depth_b, normal_b = _along_normals(b, a)
    first = depth_a >= depth_b
    depth, normal = np.where(first, depth_a, depth_b), np.where(first[:, None], normal_a, -normal_b)
    return np.where(np.isneginf(depth), np.inf, depth), normal


def _along_normals(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    along = np.roll(a, -1, axis=1) - a
    length = np.hypot(along[..., 0], along[..., 1])
    normal = np.stack((along[..., 1], -along[..., 0]), axis=-1) / np.maximum(length, _TINY)[..., None]
    # The lowest of b along each normal of a, less the height of the edge itself.
    lowest = (normal[:, :, None, :] * b[:, None, :, :]).sum(axis=3).min(axis=2) - (normal * a).sum(axis=2)
    lowest = np.where(length > _TINY, lowest, -np.inf)
    k = lowest.argmax(axis=1)
    rows = np.arange(len(a))
    return lowest[rows, k], normal[rows, k]


def _apart_by_centres(a: Floats, b: Floats) -> Floats:
    """Unit vectors between the middles, along x where those coincide: a way out for cores that touch."""
    way = (b.min(axis=1) + b.max(axis=1) - a.min(axis=1) - a.max(axis=1)) / 2
    length = np.hypot(way[:, 0], way[:, 1])[:, None]
    return np.where(length > _TINY, way / np.maximum(length, _TINY), np.array([1.0, 0.0]))
