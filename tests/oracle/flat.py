"""Convex shapes as polygons of many sides, and how far apart two of them are by their Minkowski difference.

A circle is a polygon whose corners lie as far outside it as its sides lie inside: no point of it is further from
the circle than ``radius · (π / SIDES)² / 4``, 0.0024 mm for the 64 mm of the largest round thing.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Floats = npt.NDArray[np.float64]
SIDES = 256
_TURN = 2 * math.pi / SIDES
_ROUND = np.stack((np.cos(_TURN * np.arange(SIDES)), np.sin(_TURN * np.arange(SIDES))), axis=1)
_SWELL = 2 / (1 + math.cos(_TURN / 2))


def circle(radius: float) -> Floats:
    """A circle about the origin as a polygon, anticlockwise, shape (SIDES, 2) [mm]."""
    return _ROUND * (radius * _SWELL)


def after(points: Floats) -> Floats:
    """For each corner of a closed line the next one [mm]."""
    return np.concatenate((points[1:], points[:1]))


def minkowski(one: Floats, other: Floats) -> Floats:
    """Every sum of a point of one and a point of the other, both convex and anticlockwise [mm]."""
    first, second = (_from_lowest(p) for p in (one, other))
    sides = np.concatenate([after(p) - p for p in (first, second) if len(p) > 1] or [np.zeros((1, 2))])
    angle = np.arctan2(sides[:, 1], sides[:, 0])
    angle = np.where(angle < -1e-9, angle + 2 * math.pi, angle)
    sides = sides[np.argsort(angle, kind="stable")]
    start = first[0] + second[0]
    return np.concatenate((start[None], start + np.cumsum(sides[:-1], axis=0)))


def _from_lowest(points: Floats) -> Floats:
    """The same polygon from its lowest corner, the left one of two as low: its sides then turn once round."""
    first = int(np.lexsort((points[:, 0], points[:, 1].round(9)))[0])
    return np.concatenate((points[first:], points[:first]))


def to_segments(points: Floats, a: Floats, b: Floats) -> Floats:
    """Distance of n points to each of k segments from ``a`` to ``b``, shape (n, k) [mm]."""
    along = b - a
    square = np.maximum((along**2).sum(axis=1), 1e-24)
    t = np.clip(((points[:, None] - a) * along).sum(axis=2) / square, 0.0, 1.0)
    foot = a + t[..., None] * along
    distance: Floats = np.hypot(*(points[:, None] - foot).transpose(2, 0, 1))
    return distance


def depths_in(points: Floats, polygon: Floats) -> Floats:
    """How far n points are from the rim of a convex polygon, shape (n,) [mm]: above 0 inside it, below outside."""
    a, b = polygon, after(polygon)
    along = b - a
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
    left = (along[:, 0] * (points[:, 1:] - a[:, 1]) - along[:, 1] * (points[:, :1] - a[:, 0])) / length
    # Inside, the nearest point of the rim is the foot on the nearest side; outside, it may be a corner.
    depth: Floats = left.min(axis=1)
    out = np.flatnonzero(depth < 0)
    if len(out):
        depth[out] = -to_segments(points[out], a, b).min(axis=1)
    return depth


def depth_in(point: Floats, polygon: Floats) -> float:
    """The same for one point [mm]."""
    return float(depths_in(point[None], polygon)[0])


class Flat(Struct, frozen=True, eq=False, dict=True):
    """A convex shape seen from above: a core of one, two or more points, grown by a radius [mm]."""

    core: Floats
    radius: float

    @cached_property
    def polygon(self) -> Floats:
        """Its rim, anticlockwise, shape (n, 2) [mm]."""
        return minkowski(self.core, circle(self.radius)) if self.radius > 0 else self.core

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Smallest upright rectangle round it [mm]."""
        (x0, y0), (x1, y1) = self.core.min(axis=0), self.core.max(axis=0)
        r = self.radius
        return (float(x0) - r, float(y0) - r, float(x1) + r, float(y1) + r)

    @property
    def middle(self) -> Floats:
        """The mean of its core [mm]."""
        mean: Floats = self.core.mean(axis=0)
        return mean

    def moved(self, x: float, y: float, angle: float = 0.0) -> Flat:
        """Turned about the origin by ``angle`` degrees, then moved [mm]."""
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        return Flat(self.core @ np.array([[c, s], [-s, c]]) + (x, y), self.radius)


def boxes_apart(a: Flat, b: Flat) -> float:
    """How far the boxes round two shapes are apart at least [mm]; 0 where they meet."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.box, b.box
    return max(bx0 - ax1, ax0 - bx1, by0 - ay1, ay0 - by1, 0.0)


def apart(a: Flat, b: Flat) -> float:
    """The gap between two shapes [mm]; where they overlap, minus the least shift that parts them."""
    return -depth_in(np.zeros(2), minkowski(a.polygon, -b.polygon))


def inside_by(inner: Flat, outer: Flat) -> float:
    """How far a shape lies within another at least [mm]; below 0 by how far it stands out of it."""
    if inner.radius > 0 and len(inner.core) == 1:
        return depth_in(inner.core[0], outer.polygon) - inner.radius
    return float(depths_in(inner.polygon, outer.polygon).min())


def reach_out(a: Flat, b: Flat, way: float) -> float:
    """How far ``b``, both about the origin, goes along ``way`` [rad] until it just touches ``a`` [mm]."""
    ring = minkowski(a.polygon, -b.polygon)
    along = np.array([math.cos(way), math.sin(way)])
    p, q = ring, after(ring)
    beside = np.array([-along[1], along[0]])
    u, v = p @ beside, q @ beside
    cut = (u <= 0) & (v > 0) | (u > 0) & (v <= 0)
    t = u[cut] / (u[cut] - v[cut])
    return float(((p[cut] + t[:, None] * (q[cut] - p[cut])) @ along).max(initial=0.0))
