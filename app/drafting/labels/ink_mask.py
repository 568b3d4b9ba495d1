"""Where ink stands on a page, as a fine raster; :mod:`app.drafting.labels.covered` asks it about rectangles."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, sqrt
from typing import Final, cast

import numpy as np
import numpy.typing as npt

from app.drafting.labels.canvas import Canvas

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]
Box = tuple[float, float, float, float]

_PIXEL: Final = 0.25
"""Side of a pixel [mm]; a pixel that ink only touches counts as full, so nothing is ever taken for free."""

_MOST: Final = 16_000_000
"""The most pixels of a raster: an A0 sheet at ``_PIXEL``; larger ones are coarser."""


SOLID: Final = 1
"""Bit of a pixel with ink that nothing may lie on."""

LINE: Final = 2
"""Bit of a pixel with a line, which a leader may cross."""

RIM: Final = 4
"""Bit of a pixel with the line of a circle."""


class InkMask:
    """A raster over ``frame`` [mm], on ``canvas`` if there is one; what lies outside it is not kept.

    Each pixel has a bit for each kind of ink; 0 is bare paper.
    """

    def __init__(self, frame: Box, canvas: Canvas | None = None) -> None:
        width, height = max(frame[2] - frame[0], 1.0), max(frame[3] - frame[1], 1.0)
        self.x, self.y = frame[0], frame[1]
        self.side = max(_PIXEL, sqrt(width * height / _MOST))
        columns, rows = ceil(width / self.side) + 1, ceil(height / self.side) + 1
        self.pixels = (canvas or Canvas()).blank(columns, rows)

    def _parts(self, boxes: Floats) -> list[list[int]]:
        """First column and row of the pixels each rectangle touches inside the raster, and those after the last."""
        places = np.floor((boxes - np.array((self.x, self.y, self.x, self.y))) / self.side)
        places[:, 2:] += 1.0
        columns, rows = self.pixels.shape
        held = np.minimum(np.maximum(places, 0.0), (columns, rows, columns, rows))
        return cast(list[list[int]], held.astype(np.intp).tolist())

    def boxes(self, boxes: Floats) -> None:
        """Filled rectangles, shape (n, 4), as solid ink."""
        for i0, j0, i1, j1 in self._parts(boxes):
            part = self.pixels[i0:i1, j0:j1]
            part |= SOLID

    def rings(self, rows: Sequence[tuple[float, float, float, float]], ink: int = SOLID) -> None:
        """All between two circles about a point: x, y, inner and outer radius [mm]; a disc if inner is 0 or less."""
        found = np.array(rows, float).reshape(-1, 4)
        half, reach = self.side / sqrt(2), found[:, 3:]
        middles = [
            low + (np.arange(n) + 0.5) * self.side for low, n in zip((self.x, self.y), self.pixels.shape, strict=True)
        ]
        parts = self._parts(np.hstack([found[:, :2] - reach, found[:, :2] + reach]))
        for (x, y, inner, outer), (i0, j0, i1, j1) in zip(rows, parts, strict=True):
            if outer <= 0.0 or i0 >= i1 or j0 >= j1:
                continue
            dx, dy = middles[0][i0:i1] - x, middles[1][j0:j1] - y
            across, up = (dx * dx)[:, None], dy * dy
            full = up <= (outer + half) ** 2 - across
            if inner > half:
                full &= up >= (inner - half) ** 2 - across
            drawn, part = full.view(np.uint8), self.pixels[i0:i1, j0:j1]
            # Of self.pixels[…] itself, all of the part would be written once more.
            part |= drawn if ink == SOLID else drawn * np.uint8(ink)

    def lines(self, ends: Floats, half: float) -> None:
        """Straight lines ``2 * half`` mm wide, by their ends, shape (n, 2, 2); before any other ink, which they cover.

        Each is drawn as rectangles, of which those of a slanting one are no longer than half its width and a
        millimetre.
        """
        step = ends[:, 1] - ends[:, 0]
        slanting = (np.abs(step) >= 1e-9).all(axis=1)
        count = np.where(slanting, np.ceil(np.hypot(*step.T)), 1.0)
        row = np.repeat(np.arange(len(ends)), count.astype(np.intp))
        part = np.arange(len(row)) - np.searchsorted(row, row)
        share = np.stack([part, part + 1]) / count[row]
        a, b = (ends[row, 0] + step[row] * t[:, None] for t in share)
        pixels = self.pixels
        for i0, j0, i1, j1 in self._parts(np.hstack([np.minimum(a, b) - half, np.maximum(a, b) + half])):
            pixels[i0:i1, j0:j1] = LINE

    def places(self, points: Floats) -> tuple[Ints, Ints]:
        """Column and row of the pixel at each of ``points``, shape (n, 2), all of them inside the frame [mm]."""
        i, j = ((points - (self.x, self.y)) / self.side).astype(np.intp).T
        return i, j
