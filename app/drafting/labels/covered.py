"""Whether rectangles on a page are free of ink, told from rasters in the way that takes least for so many of them."""

from __future__ import annotations

from math import floor
from typing import Final

import numpy as np
import numpy.typing as npt
from propcache.api import cached_property

from app.drafting.labels.canvas import Canvas, Pixels
from app.drafting.labels.ink_mask import Box, Flags, Floats, InkMask, Ints

_FEW: Final = 700
"""Rectangles that are looked at in less time than the sums take."""


class Covered:
    """Whether rectangles hold any ink of a raster, which is not drawn on any more.

    Many are told by sums over all pixels below and left, worked out once; the first few by looking at their pixels; a
    grid of them by two stretches each way, as long as the largest power of two pixels that is no longer than a side.
    """

    def __init__(self, mask: InkMask, canvas: Canvas | None = None) -> None:
        self._corner, self._side, self._pixels = (mask.x, mask.y), mask.side, mask.pixels
        self._origin = np.array(self._corner * 2)
        self._last = np.array(self._pixels.shape * 2, float)
        self._canvas, self._asked = canvas or Canvas(), 0
        self._spread: tuple[int, Pixels] = (-1, self._pixels)

    def at(self, box: Box) -> bool:
        """Whether a single rectangle, inside the frame of the raster, touches a pixel with ink."""
        (x, y), side = self._corner, self._side
        i0, j0 = int((box[0] - x) / side), int((box[1] - y) / side)
        i1, j1 = int((box[2] - x) / side) + 1, int((box[3] - y) / side) + 1
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
        i0, j0, i1, j1 = held.T
        sums = self._sums
        return np.asarray(sums[i1, j1] - sums[i0, j1] - sums[i1, j0] + sums[i0, j0] > 0, bool)

    def grid(self, columns: Floats, rows: Floats) -> Flags:
        """The same of rectangles in columns and rows.

        Args:
            columns: where each column begins and ends along x, shape (n, 2) [mm].
            rows: where each row does along y, shape (m, 2) [mm].

        Returns:
            Whether the rectangle in a row and a column touches a pixel with ink, shape (m, n).
        """
        found = np.zeros((len(rows), len(columns)), bool)
        across, up = self._stretches(columns, 0), self._stretches(rows, 1)
        for b, j in _by_doublings(up):
            full = self._spread_up(b)
            band = full[:, up[j, 0]] | full[:, up[j, 1] - (1 << b)]
            for a, i in _by_doublings(across):
                wide = _spread(band, a)
                found[np.ix_(j, i)] = ((wide[across[i, 0]] | wide[across[i, 1] - (1 << a)]) > 0).T
        return found

    def _stretches(self, ends: Floats, axis: int) -> Ints:
        """First pixel of each stretch along an axis inside the raster, and the one after its last."""
        places = np.floor((ends - self._corner[axis]) / self._side)
        places[:, 1] += 1.0
        held: Ints = np.minimum(np.maximum(places, 0.0), self._last[axis]).astype(np.intp)
        return held

    def _spread_up(self, times: int) -> Pixels:
        """For each pixel, what ink there is in the 2**times rows from it on, where so many are left."""
        if self._spread[0] != times:
            found = self._pixels
            for k in range(times):
                left = found.shape[1] - (1 << k)
                found = np.bitwise_or(found[:, :left], found[:, 1 << k :], out=self._rooms[k % 2][:, :left])
            self._spread = times, found
        return self._spread[1]

    @cached_property
    def _rooms(self) -> tuple[Pixels, Pixels]:
        """Two rasters, each made from the other in turn."""
        shape = self._pixels.shape
        return self._canvas.room(*shape), self._canvas.room(*shape)

    @cached_property
    def _sums(self) -> npt.NDArray[np.int32]:
        pixels = self._pixels
        columns, rows = pixels.shape
        room = self._canvas.room(4 * (columns + 1), rows + 1)  # four bytes each
        sums = room.reshape(-1).view(np.int32).reshape(columns + 1, rows + 1)
        sums[0], sums[:, 0] = 0, 0
        np.cumsum(pixels > 0, axis=1, dtype=np.int32, out=sums[1:, 1:])
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
        return np.asarray(np.bitwise_or.reduce(pixels, axis=0) > 0, bool)


def _spread(full: Pixels, times: int) -> Pixels:
    """For each pixel, what ink there is in the 2**times pixels from it on along the first axis."""
    for k in range(times):
        full = full[: -(1 << k)] | full[1 << k :]
    return full


def _by_doublings(stretches: Ints) -> list[tuple[int, Ints]]:
    """Which of ``stretches`` a pixel fits into so many times doubled and no more, for each number of times there is."""
    lengths = np.maximum(stretches[:, 1] - stretches[:, 0], 0)
    found = np.frexp(lengths)[1] - 1  # below 0 for no length at all
    return [(number, np.flatnonzero(found == number)) for number in sorted(set(found.tolist())) if number >= 0]
