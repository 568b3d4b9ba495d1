"""Distances between many shapes at once: a broad search, then exact distances of what is near.

Up to a few hundred shapes every pair is looked at in one array; beyond that a spatial tree picks the
pairs. Circles are judged by centres and radii; other shapes by the distance of their cores less radii.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from app.geometry.shapes import Shape

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
_DENSE = 400  # up to here one array of all pairs is faster than building a tree


@dataclass(frozen=True)
class Pairs:
    """Pairs of shapes and their distances.

    Args:
        first: indices into the first sequence, shape (n,).
        second: indices into the second sequence (the same one for pairs within), shape (n,).
        distance: material between the two rims [mm], negative where they overlap, shape (n,).
    """

    first: Ints
    second: Ints
    distance: Floats

    def __len__(self) -> int:
        return len(self.first)


@dataclass(frozen=True)
class ShapeSet:
    """Shapes at their places [mm], prepared for distance questions."""

    shapes: tuple[Shape, ...]

    @cached_property
    def centres(self) -> Floats:
        """Centres, shape (n, 2) [mm]."""
        return np.array([s.centre for s in self.shapes], float).reshape(-1, 2)

    @cached_property
    def reaches(self) -> Floats:
        """Largest distance from centre to rim, shape (n,) [mm]."""
        return np.array([s.reach for s in self.shapes], float)

    @cached_property
    def radii(self) -> Floats:
        """Radius each core is grown by, shape (n,) [mm]."""
        return np.array([s.radius for s in self.shapes], float)

    @cached_property
    def circular(self) -> npt.NDArray[np.bool_]:
        """Which shapes are circles, shape (n,)."""
        return np.array([s.is_circle for s in self.shapes], bool)

    @cached_property
    def cores(self) -> npt.NDArray[np.object_]:
        """Cores as shapely geometries, shape (n,)."""
        import shapely

        made = {1: lambda c: shapely.Point(c[0]), 2: shapely.LineString}
        return np.array([made.get(len(s.core), shapely.Polygon)(s.core) for s in self.shapes], object)

    def within(self, reach: float) -> Pairs:
        """Every pair of these shapes, each once, closer than ``reach`` mm."""
        n = len(self.shapes)
        i, j = _all_pairs(n) if n <= _DENSE else self._tree_pairs(self, reach)
        if n > _DENSE:
            i, j = i[i < j], j[i < j]
        return self._measured(self, i, j, reach)

    def against(self, other: ShapeSet, reach: float) -> Pairs:
        """Every pair of one of these and one of ``other`` closer than ``reach`` mm."""
        n, m = len(self.shapes), len(other.shapes)
        if n * m <= _DENSE * _DENSE:
            i, j = (a.ravel() for a in np.meshgrid(np.arange(n), np.arange(m), indexing="ij"))
        else:
            i, j = self._tree_pairs(other, reach)
        return self._measured(other, i, j, reach)

    def _tree_pairs(self, other: ShapeSet, reach: float) -> tuple[Ints, Ints]:
        import shapely

        (x, y), r = other.centres.T, other.reaches
        tree = shapely.STRtree(shapely.box(x - r, y - r, x + r, y + r))
        (x, y), r = self.centres.T, self.reaches + reach
        found = tree.query(shapely.box(x - r, y - r, x + r, y + r))
        return found[0].astype(np.intp), found[1].astype(np.intp)

    def _measured(self, other: ShapeSet, i: Ints, j: Ints, reach: float) -> Pairs:
        gap = self.centres[i] - other.centres[j]
        bound = np.hypot(gap[:, 0], gap[:, 1]) - self.reaches[i] - other.reaches[j]
        keep = bound < reach
        i, j, distance = i[keep], j[keep], bound[keep]
        odd = ~(self.circular[i] & other.circular[j]) if len(i) else np.zeros(0, bool)
        if odd.any():
            import shapely

            a, b = i[odd], j[odd]
            distance[odd] = shapely.distance(self.cores[a], other.cores[b]) - self.radii[a] - other.radii[b]
            keep = distance < reach
            i, j, distance = i[keep], j[keep], distance[keep]
        return Pairs(i, j, distance)


def shape_set(shapes: Sequence[Shape]) -> ShapeSet:
    """The shapes prepared for distance questions."""
    return ShapeSet(tuple(shapes))


@lru_cache(maxsize=8)
def _all_pairs(n: int) -> tuple[Ints, Ints]:
    i, j = np.triu_indices(n, 1)
    return i.astype(np.intp), j.astype(np.intp)
