"""Where ink stands on a page, as a fine raster that tells at once whether a rectangle is free of it."""

from __future__ import annotations

from math import ceil, floor, hypot, sqrt
from typing import Final

import numpy as np
import numpy.typing as npt
from propcache.api import cached_property

from app.scene.primitives import Point

Floats = npt.NDArray[np.float64]
Box = tuple[float, float, float, float]

_PIXEL: Final = 0.25
"""Side of a pixel [mm]; a pixel that ink only touches counts as full, so nothing is ever taken for free."""

_MOST: Final = 16_000_000
"""The most pixels of a raster: an A0 sheet at ``_PIXEL``; larger ones are coarser."""


_FEW: Final = 600
"""Rectangles that are looked at in less time than the sums take."""


class InkMask:
    """A raster over ``frame`` [mm]; what lies outside it is not kept."""

    def __init__(self, frame: Box) -> None:
        width, height = max(frame[2] - frame[0], 1.0), max(frame[3] - frame[1], 1.0)
        self.x, self.y = frame[0], frame[1]
        self.side = max(_PIXEL, sqrt(width * height / _MOST))
        shape = (ceil(width / self.side) + 1, ceil(height / self.side) + 1)
        self.pixels: npt.NDArray[np.uint8] = np.zeros(shape, np.uint8)

    def like(self) -> InkMask:
        """An empty raster of the same size and place."""
        made = object.__new__(InkMask)
        made.x, made.y, made.side = self.x, self.y, self.side
        made.pixels = np.zeros_like(self.pixels)
        return made

    def _part(self, box: Box) -> tuple[int, int, int, int]:
        """Columns and rows of the pixels a rectangle touches, from and to, inside the raster."""
        i0, j0 = floor((box[0] - self.x) / self.side), floor((box[1] - self.y) / self.side)
        i1, j1 = floor((box[2] - self.x) / self.side) + 1, floor((box[3] - self.y) / self.side) + 1
        columns, rows = self.pixels.shape
        return min(max(i0, 0), columns), min(max(j0, 0), rows), min(max(i1, 0), columns), min(max(j1, 0), rows)

    def box(self, box: Box) -> None:
        """A filled rectangle."""
        i0, j0, i1, j1 = self._part(box)
        self.pixels[i0:i1, j0:j1] = 1

    def ring(self, x: float, y: float, inner: float, outer: float) -> None:
        """All between two circles about a point; a disc if ``inner`` is 0 or less [mm]."""
        if outer <= 0:
            return
        i0, j0, i1, j1 = self._part((x - outer, y - outer, x + outer, y + outer))
        if i0 >= i1 or j0 >= j1:
            return
        dx = self.x + (np.arange(i0, i1) + 0.5) * self.side - x
        dy = self.y + (np.arange(j0, j1) + 0.5) * self.side - y
        square = dx[:, None] ** 2 + dy[None, :] ** 2
        half = self.side / sqrt(2)
        full = square <= (outer + half) ** 2
        if inner > half:
            full &= square >= (inner - half) ** 2
        self.pixels[i0:i1, j0:j1] |= full

    def line(self, a: Point, b: Point, half: float) -> None:
        """A straight line ``2 * half`` mm wide, as rectangles no longer than half its width and a millimetre."""
        level = abs(a[0] - b[0]) < 1e-9 or abs(a[1] - b[1]) < 1e-9
        count = 1 if level else ceil(hypot(b[0] - a[0], b[1] - a[1]))
        for k in range(count):
            (x0, y0), (x1, y1) = (
                (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for t in (k / count, (k + 1) / count)
            )
            self.box((min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half))

    def at(self, points: Floats) -> npt.NDArray[np.bool_]:
        """Whether there is ink at each of ``points``, shape (…, 2); outside the raster there is none."""
        i = np.floor((points[..., 0] - self.x) / self.side).astype(int)
        j = np.floor((points[..., 1] - self.y) / self.side).astype(int)
        columns, rows = self.pixels.shape
        inside = (i >= 0) & (j >= 0) & (i < columns) & (j < rows)
        return np.asarray(inside & (self.pixels[i.clip(0, columns - 1), j.clip(0, rows - 1)] > 0), bool)


class Covered:
    """Whether rectangles hold any ink of some rasters, which are not drawn on any more.

    Many are told by sums over all pixels below and left, worked out once; the first few by looking at their pixels.
    """

    def __init__(self, *masks: InkMask) -> None:
        first = masks[0]
        self._origin, self._side = np.array((first.x, first.y, first.x, first.y)), first.side
        self._masks = masks
        self._last = np.array(first.pixels.shape * 2, float)
        self._asked = 0

    @cached_property
    def _pixels(self) -> npt.NDArray[np.uint8]:
        pixels = self._masks[0].pixels.copy()
        for mask in self._masks[1:]:
            pixels |= mask.pixels
        return pixels

    @cached_property
    def _sums(self) -> npt.NDArray[np.int32]:
        pixels = self._pixels
        columns, rows = pixels.shape
        sums = np.zeros((columns + 1, rows + 1), np.int32)
        sums[1:, 1:] = pixels
        for column in range(1, columns + 1):  # adding whole columns takes a fifth of the time of a sum along that axis
            sums[column] += sums[column - 1]
        np.cumsum(sums, axis=1, out=sums)
        return sums

    def any(self, boxes: Floats) -> npt.NDArray[np.bool_]:
        """For each of ``boxes``, shape (n, 4) [mm], whether it touches a pixel with ink."""
        # The smaller and the larger of two are found several times faster than a value is clipped.
        places = np.floor((boxes - self._origin) / self._side)
        places[:, 2:] += 1.0
        held = np.minimum(np.maximum(places, 0.0), self._last).astype(np.intp)
        self._asked += len(boxes)
        if self._asked <= _FEW:
            pixels, count = self._pixels.view(bool), np.count_nonzero  # true ones are counted fastest
            return np.array([count(pixels[i0:i1, j0:j1]) > 0 for i0, j0, i1, j1 in held.tolist()], bool)
        i0, j0, i1, j1 = held.T
        sums = self._sums
        return np.asarray(sums[i1, j1] - sums[i0, j1] - sums[i1, j0] + sums[i0, j0] > 0, bool)
