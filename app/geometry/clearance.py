"""Distances between many shapes at once: a broad search, then exact distances of what is near.

Up to some two hundred shapes every pair is looked at in one array; beyond that a grid of cells picks the
pairs, or a spatial tree where the shapes are of very different size. Circles are judged by centres and
radii, never as polygons, which miss pairs near a limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.geometry.convex import Gaps, gaps_between
from app.geometry.shapes import Shape

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
_DENSE = 65_536  # up to here one array of all pairs is faster than building a tree
_CROWD = 60  # candidates to a shape beyond which a grid of cells is too coarse


class Pairs(Struct, frozen=True):
    """Pairs of shapes and their distances.

    Args:
        first: indices into the first sequence, shape (n,).
        second: indices into the second sequence (the same one for pairs within), shape (n,).
        distance: material between the two rims [mm]; where they overlap, minus the least shift that
            parts them, shape (n,).
    """

    first: Ints
    second: Ints
    distance: Floats

    def __len__(self) -> int:
        return len(self.first)

    def where(self, keep: Flags) -> Pairs:
        """The pairs to keep."""
        return Pairs(self.first[keep], self.second[keep], self.distance[keep])


class ShapeSet(Struct, frozen=True, eq=False, dict=True):
    """Shapes at their places as arrays, ready for distance questions.

    Args:
        points: cores, the shorter ones padded with their last point, shape (n, k, 2) [mm].
        counts: how many points each core really has, shape (n,).
        radii: radius each core is grown by, shape (n,) [mm].
    """

    points: Floats
    counts: Ints
    radii: Floats

    def __len__(self) -> int:
        return len(self.radii)

    @cached_property
    def circular(self) -> Flags:
        """Which shapes are circles, shape (n,)."""
        found: Flags = self.counts == 1
        return found

    @cached_property
    def all_circles(self) -> bool:
        """Whether every shape is a circle."""
        return self.points.shape[1] == 1 or bool(self.circular.all())

    @cached_property
    def centres(self) -> Floats:
        """Middle of each core's bounds, shape (n, 2) [mm]."""
        if self.points.shape[1] == 1:
            return self.points[:, 0]
        middles: Floats = (self.points.min(axis=1) + self.points.max(axis=1)) / 2
        return middles

    @cached_property
    def reaches(self) -> Floats:
        """Largest distance from centre to rim, shape (n,) [mm]."""
        if self.points.shape[1] == 1:
            return self.radii
        out = self.points - self.centres[:, None, :]
        reaches: Floats = np.hypot(out[..., 0], out[..., 1]).max(axis=1) + self.radii
        return reaches

    def take(self, which: Ints | Flags) -> ShapeSet:
        """Some of the shapes."""
        return ShapeSet(self.points[which], self.counts[which], self.radii[which])

    def within(self, reach: float) -> Pairs:
        """Every pair of these shapes, each once, closer than ``reach`` mm."""
        n = len(self)
        if n * n <= _DENSE:
            i, j = np.nonzero(self._near(self, reach) & _once(n))
        else:
            i, j = self._cell_pairs(reach) or self._tree_pairs(self, reach)
            once = i < j
            i, j = i[once], j[once]
        return self.measured(self, i, j, reach)

    def against(self, other: ShapeSet, reach: float) -> Pairs:
        """Every pair of one of these and one of ``other`` closer than ``reach`` mm."""
        n, m = len(self), len(other)
        if n * m <= _DENSE:
            i, j = np.nonzero(self._near(other, reach))
        else:
            i, j = self._tree_pairs(other, reach)
        return self.measured(other, i, j, reach)

    def gaps(self, i: Ints, other: ShapeSet, j: Ints) -> Gaps:
        """What lies between the cores of shapes ``i`` of these and ``j`` of ``other``."""
        return gaps_between(self.points[i], other.points[j])

    def _near(self, other: ShapeSet, reach: float) -> Flags:
        """Which circles around these and around others are closer than ``reach``, shape (n, m)."""
        (ax, ay), (bx, by) = self.centres.T, other.centres.T
        span = (self.reaches + reach)[:, None] + other.reaches
        near: Flags = (ax[:, None] - bx) ** 2 + (ay[:, None] - by) ** 2 < span * np.abs(span)
        return near

    def _cell_pairs(self, reach: float) -> tuple[Ints, Ints] | None:
        """Pairs in the same or neighbouring cells of a grid as coarse as the largest shape, each once, unordered.

        Returns:
            The pairs; None if there are too many, as when one shape is far larger than the others.
        """
        cell = 2 * float(self.reaches.max()) + max(reach, 0.0)
        column, row = np.floor(self.centres / cell).astype(np.int64).T
        key = (row - row.min()) * (np.ptp(column) + 4) + (column - column.min() + 1)
        order = np.argsort(key, kind="stable")
        key = key[order]
        after = np.arange(len(key)) + 1
        along = np.searchsorted(key, key + 1, side="right") - after  # the rest of this cell, and the next one
        above = np.searchsorted(key, key + np.ptp(column) + 3), np.searchsorted(key, key + np.ptp(column) + 5, "right")
        if int(along.sum() + (above[1] - above[0]).sum()) > _CROWD * len(key):
            return None
        pairs = [_ranges(after, along), _ranges(above[0], above[1] - above[0])]
        i, j = (np.concatenate(side) for side in zip(*pairs, strict=True))
        gap = self.centres[order[i]] - self.centres[order[j]]
        near = (gap**2).sum(axis=1) < cell**2
        i, j = order[i[near]], order[j[near]]
        return np.minimum(i, j), np.maximum(i, j)

    def _tree_pairs(self, other: ShapeSet, reach: float) -> tuple[Ints, Ints]:
        import shapely

        (x, y), r = other.centres.T, other.reaches
        tree = shapely.STRtree(shapely.box(x - r, y - r, x + r, y + r))
        (x, y), r = self.centres.T, self.reaches + reach
        found = tree.query(shapely.box(x - r, y - r, x + r, y + r))
        return found[0].astype(np.intp), found[1].astype(np.intp)

    def measured(self, other: ShapeSet, i: Ints, j: Ints, reach: float) -> Pairs:
        """Shapes ``i`` of these and ``j`` of ``other`` as pairs, those that are closer than ``reach`` mm."""
        gap = self.centres[i] - other.centres[j]
        bound = np.hypot(gap[:, 0], gap[:, 1]) - self.reaches[i] - other.reaches[j]
        near = np.flatnonzero(bound < reach)
        pairs = Pairs(i[near], j[near], bound[near])
        if self.all_circles and other.all_circles:
            return pairs
        odd = np.flatnonzero(~(self.circular[pairs.first] & other.circular[pairs.second]))
        if not len(odd):
            return pairs
        a, b = pairs.first[odd], pairs.second[odd]
        pairs.distance[odd] = self.gaps(a, other, b).distance - self.radii[a] - other.radii[b]
        return pairs.where(pairs.distance < reach)


def shape_set(shapes: Sequence[Shape]) -> ShapeSet:
    """The shapes prepared for distance questions."""
    counts = np.array([len(s.core) for s in shapes], np.intp)
    most = max((len(s.core) for s in shapes), default=1)
    padded = [s.core if len(s.core) == most else (*s.core, *s.core[-1:] * (most - len(s.core))) for s in shapes]
    points = np.array(padded, np.float64).reshape(-1, most, 2)
    return ShapeSet(points, counts, np.array([s.radius for s in shapes], np.float64))


def joined(a: ShapeSet, b: ShapeSet) -> ShapeSet:
    """The shapes of both, those of ``a`` first."""
    k = max(a.points.shape[1], b.points.shape[1])
    points = np.concatenate((_padded(a.points, k), _padded(b.points, k)))
    return ShapeSet(points, np.concatenate((a.counts, b.counts)), np.concatenate((a.radii, b.radii)))


def narrowed(shapes: ShapeSet) -> ShapeSet:
    """The same shapes with no more padding than they need: circles as single points."""
    return ShapeSet(shapes.points[:, : int(shapes.counts.max(initial=1))], shapes.counts, shapes.radii)


def _padded(points: Floats, k: int) -> Floats:
    if points.shape[1] == k:
        return points
    last = np.repeat(points[:, -1:], k - points.shape[1], axis=1)
    return np.concatenate((points, last), axis=1)


def _ranges(start: Ints, counts: Ints) -> tuple[Ints, Ints]:
    """Each index with every index of its range: ``counts`` of them from ``start``."""
    i = np.repeat(np.arange(len(counts)), counts)
    before = np.cumsum(counts) - counts
    return i, np.arange(len(i)) - before[i] + start[i]


@lru_cache(maxsize=8)
def _once(n: int) -> Flags:
    """Above the diagonal: each pair once."""
    return ~np.tri(n, dtype=np.bool_)
