"""Whether rectangles on a page are free of ink, told from rasters in the way that takes least for so many of them."""

from __future__ import annotations

from math import floor
from typing import Final

import numpy as np
import numpy.typing as npt
from propcache.api import cached_property

from app.drafting.labels.ink_mask import Box, Flags, Floats, InkMask, Ints

_FEW: Final = 300
"""Rectangles that are looked at in less time than any raster takes."""

_FEW_SIZES: Final = 4
"""Sizes whose rasters take less time and memory than the sums."""

_MOST_DOUBLINGS: Final = 64  # of a pixel, to the side of any raster


class Covered:
    """Whether rectangles hold any ink of some rasters, which are not drawn on any more.

    The first few are told by looking at their pixels; those of a few sizes by a raster for each size, which says where
    such a rectangle would hold ink; those of many sizes by sums over all pixels below and left, which take more memory.
    """

    def __init__(self, *masks: InkMask) -> None:
        first = masks[0]
        self._corner = (first.x, first.y)
        self._origin, self._side = np.array((first.x, first.y, first.x, first.y)), first.side
        self._masks = masks
        self._last = np.array(first.pixels.shape * 2, float)
        self._asked, self._summed = 0, False
        self._spread: dict[tuple[int, int], Flags] = {}

    @cached_property
    def _pixels(self) -> Flags:
        pixels = self._masks[0].pixels
        for mask in self._masks[1:]:
            pixels = pixels | mask.pixels
        return pixels

    def at(self, box: Box) -> bool:
        """Whether a single rectangle touches a pixel with ink."""
        (x, y), side = self._corner, self._side
        i0, j0 = max(floor((box[0] - x) / side), 0), max(floor((box[1] - y) / side), 0)
        i1, j1 = max(floor((box[2] - x) / side) + 1, 0), max(floor((box[3] - y) / side) + 1, 0)
        return bool(np.count_nonzero(self._pixels[i0:i1, j0:j1]) > 0)

    def any(self, boxes: Floats) -> Flags:
        """For each of ``boxes``, shape (n, 4) [mm], whether it touches a pixel with ink."""
        # The smaller and the larger of two are found several times faster than a value is clipped.
        places = np.floor((boxes - self._origin) / self._side)
        places[:, 2:] += 1.0
        held = np.minimum(np.maximum(places, 0.0), self._last).astype(np.intp)
        self._asked += len(boxes)
        if self._asked <= _FEW:
            pixels, count = self._pixels, np.count_nonzero
            return np.array([count(pixels[i0:i1, j0:j1]) > 0 for i0, j0, i1, j1 in held.tolist()], bool)
        told = None if self._summed else self._by_size(held)
        return self._by_sums(held) if told is None else told

    def _by_size(self, parts: Ints) -> Flags | None:
        """Whether there is ink in each of ``parts``, shape (n, 4); None if they would need too many rasters.

        Each way two stretches, which may overlap, cover a part: as long as the largest power of two that is no longer.
        """
        doublings = np.frexp(np.maximum(parts[:, 2:] - parts[:, :2], 0))[1] - 1
        sizes = doublings @ (_MOST_DOUBLINGS, 1)
        some = (doublings >= 0).all(axis=1)
        wanted = {divmod(size, _MOST_DOUBLINGS): size for size in np.unique(sizes[some]).tolist()}
        if len(self._spread.keys() | wanted.keys()) > _FEW_SIZES:
            return None
        found = np.zeros(len(parts), bool)
        for (a, b), size in wanted.items():
            rows = np.flatnonzero(some & (sizes == size))
            i0, j0, i1, j1 = parts[rows].T
            full, i2, j2 = self._spread_by(a, b), i1 - (1 << a), j1 - (1 << b)
            found[rows] = full[i0, j0] | full[i2, j0] | full[i0, j2] | full[i2, j2]
        return found

    def _spread_by(self, a: int, b: int) -> Flags:
        """For each pixel, whether there is ink in the 2**a columns and 2**b rows from it on, where so many are."""
        if (a, b) not in self._spread:
            full = self._pixels
            for k in range(b):
                full = full[:, : -(1 << k)] | full[:, 1 << k :]
            for k in range(a):
                full = full[: -(1 << k)] | full[1 << k :]
            self._spread[a, b] = full
        return self._spread[a, b]

    def _by_sums(self, parts: Ints) -> Flags:
        """The same of any parts, by how many pixels with ink are in them."""
        self._summed = True
        i0, j0, i1, j1 = parts.T
        sums = self._sums
        return np.asarray(sums[i1, j1] - sums[i0, j1] - sums[i1, j0] + sums[i0, j0] > 0, bool)

    @cached_property
    def _sums(self) -> npt.NDArray[np.int32]:
        pixels = self._pixels
        columns, rows = pixels.shape
        sums = np.zeros((columns + 1, rows + 1), np.int32)
        np.cumsum(pixels, axis=1, dtype=np.int32, out=sums[1:, 1:])
        for column in range(2, columns + 1):  # adding whole columns takes a fifth of the time of a sum along that axis
            sums[column] += sums[column - 1]
        return sums

    def across(self, band: tuple[float, float], axis: int) -> Flags:
        """Which pixels along a row have ink anywhere across it.

        Args:
            band: where the row begins and ends across [mm].
            axis: 0 for a row along x, 1 for one along y.
        """
        side, start = self._side, self._corner[1 - axis]
        low, high = max(floor((band[0] - start) / side), 0), max(floor((band[1] - start) / side) + 1, 0)
        # Copied first if need be, so that what is looked at together lies together.
        pixels = self._pixels[low:high] if axis else np.ascontiguousarray(self._pixels[:, low:high].T)
        return np.asarray(pixels.any(axis=0), bool)
