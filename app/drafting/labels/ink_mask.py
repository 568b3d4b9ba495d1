"""Where ink stands on a page, as a fine raster; :mod:`app.drafting.labels.covered` asks it about rectangles."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, sqrt
from typing import Final

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

    def _parts(self, boxes: Floats) -> Ints:
        """First column and row of the pixels each rectangle touches inside the raster, and those after the last."""
        places = np.floor((boxes - np.array((self.x, self.y, self.x, self.y))) / self.side)
        places[:, 2:] += 1.0
        columns, rows = self.pixels.shape
        held: Ints = np.minimum(np.maximum(places, 0.0), (columns, rows, columns, rows)).astype(np.intp)
        return held

    def boxes(self, boxes: Floats) -> None:
        """Filled rectangles, shape (n, 4), as solid ink."""
        for i0, j0, i1, j1 in self._parts(boxes).tolist():
            self.pixels[i0:i1, j0:j1] = SOLID  # where nothing may lie, nobody asks for lines

    def rings(self, rows: Sequence[tuple[float, float, float, float]], ink: int = SOLID) -> None:
        """All between two circles about a point: x, y, inner and outer radius [mm]; a disc if inner is 0 or less."""
        found = np.array(rows, float).reshape(-1, 4)
        half, reach = self.side / sqrt(2), found[:, 3:]
        parts = self._parts(np.hstack([found[:, :2] - reach, found[:, :2] + reach]))
        seen = (found[:, 3] > 0.0) & (parts[:, 0] < parts[:, 2]) & (parts[:, 1] < parts[:, 3])
        (x, y, inner, outer), parts = found[seen].T, parts[seen]
        # All at once what is asked of each column of pixels of each circle, and of each row.
        across, up = self._squares(x, parts[:, 0::2], self.x), self._squares(y, parts[:, 1::2], self.y)
        columns = parts[:, 2] - parts[:, 0]
        most, least = (np.repeat(end**2, columns) - across for end in (outer + half, inner - half))
        i = j = 0
        for (i0, j0, i1, j1), hollow in zip(parts.tolist(), (inner > half).tolist(), strict=True):
            column, row = slice(i, i + i1 - i0), up[j : j + j1 - j0]
            full = row <= most[column, None]
            if hollow:
                full &= row >= least[column, None]
            drawn, part = full.view(np.uint8), self.pixels[i0:i1, j0:j1]
            # Of self.pixels[…] itself, all of the part would be written once more.
            part |= drawn if ink == SOLID else drawn * np.uint8(ink)
            i, j = i + i1 - i0, j + j1 - j0

    def _squares(self, middles: Floats, ends: Ints, origin: float) -> Floats:
        """How far pixels are from some middles along an axis, squared, those of each after the other [mm²].

        Args:
            middles: one for each stretch of pixels, shape (n,) [mm].
            ends: the first pixel of each stretch and the one after its last, shape (n, 2).
            origin: where the raster begins along the axis [mm].
        """
        many = ends[:, 1] - ends[:, 0]
        pixel = np.arange(many.sum()) + np.repeat(ends[:, 1] - many.cumsum(), many)
        off = origin + (pixel + 0.5) * self.side - np.repeat(middles, many)
        return np.asarray(off * off)

    def lines(self, ends: Floats, half: float) -> None:
        """Straight lines ``2 * half`` mm wide, by their ends, shape (n, 2, 2); before any other ink, which they cover.

        Each is drawn as rectangles, of which those of a slanting one are no longer than half its width and a
        millimetre.
        """
        step = ends[:, 1] - ends[:, 0]
        slanting = np.abs(step).min(axis=1, initial=np.inf) >= 1e-9
        if slanting.any():
            ends = np.concatenate([ends[~slanting], _cut_up(ends[slanting], step[slanting])])
        a, b = ends[:, 0], ends[:, 1]
        pixels = self.pixels
        for i0, j0, i1, j1 in self._parts(np.hstack([np.minimum(a, b) - half, np.maximum(a, b) + half])).tolist():
            pixels[i0:i1, j0:j1] = LINE

    def places(self, points: Floats) -> tuple[Ints, Ints]:
        """Column and row of the pixel at each of ``points``, shape (n, 2), all of them inside the frame [mm]."""
        i, j = ((points - (self.x, self.y)) / self.side).astype(np.intp).T
        return i, j


def _cut_up(ends: Floats, step: Floats) -> Floats:
    """Straight lines as pieces no longer than a millimetre, shape (n, 2, 2); ``step`` leads from end to end."""
    count = np.ceil(np.hypot(*step.T))
    row = np.repeat(np.arange(len(ends)), count.astype(np.intp))
    part = np.arange(len(row)) - np.searchsorted(row, row)
    share = np.stack([part, part + 1], axis=1) / count[row, None]
    return np.asarray(ends[row, None, 0] + step[row, None] * share[:, :, None])
