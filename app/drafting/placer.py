"""Sets words where they cover nothing: many places tried at once, always the same one chosen."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Box = tuple[float, float, float, float]

CLASH = 1000.0
"""Cost of covering one thing that must be seen; anything below it is a matter of taste."""

LINE = 10.0
"""Cost of crossing one line that is better not crossed."""

_AMBIGUOUS = 2.5  # words this near to two holes [mm] might be taken for the wrong one's


class Placer:
    """What is taken on a sheet, and what words had better not cross.

    Args:
        frame: rectangle all words stay inside [mm].
        discs: circles (x, y, radius) that stay free [mm].
        boxes: rectangles that stay free [mm].
        lines: rectangles round lines that are better not crossed [mm].
    """

    def __init__(
        self,
        frame: Box,
        discs: Sequence[tuple[float, float, float]] = (),
        boxes: Sequence[Box] = (),
        lines: Sequence[Box] = (),
    ) -> None:
        self._frame = frame
        self._discs = np.array(discs, float).reshape(-1, 3)
        self._boxes = np.array(boxes, float).reshape(-1, 4)
        self._lines = np.array(lines, float).reshape(-1, 4)

    def costs(self, boxes: Floats, own: int = -1) -> Floats:
        """What each of ``boxes``, shape (n, 4), would cover; ``own`` is a disc that does not count."""
        x0, y0, x1, y1 = boxes.T
        fx0, fy0, fx1, fy1 = self._frame
        outside = (x0 < fx0 - 1e-9) | (y0 < fy0 - 1e-9) | (x1 > fx1 + 1e-9) | (y1 > fy1 + 1e-9)
        total = 100.0 * CLASH * outside
        total += CLASH * _overlaps(boxes, self._boxes).sum(axis=1)
        total += LINE * _overlaps(boxes, self._lines).sum(axis=1)
        if len(self._discs):
            cx, cy, r = self._discs.T
            dx = np.maximum(np.maximum(x0[:, None] - cx, cx - x1[:, None]), 0.0)
            dy = np.maximum(np.maximum(y0[:, None] - cy, cy - y1[:, None]), 0.0)
            covered = dx * dx + dy * dy < r * r
            near = (dx * dx + dy * dy < (r + _AMBIGUOUS) ** 2) & ~covered
            total += 5.0 * np.maximum(near.sum(axis=1) - 1, 0)
            if own >= 0:
                covered[:, own] = False
            total += CLASH * covered.sum(axis=1)
        return np.asarray(total, float)

    def choose(self, boxes: Sequence[Box], penalties: Sequence[float], own: int = -1) -> tuple[int, float]:
        """Index of the best of ``boxes`` and what it costs; nothing is taken yet."""
        costs = self.costs(np.array(boxes, float).reshape(-1, 4), own) + np.array(penalties, float)
        index = int(np.argmin(costs))
        return index, float(costs[index])

    def take(self, box: Box) -> None:
        """From now on ``box`` is covered."""
        self._boxes = np.vstack([self._boxes, box])


def _overlaps(boxes: Floats, others: Floats) -> npt.NDArray[np.bool_]:
    a, b = boxes[:, None, :], others[None, :, :]
    return np.asarray(
        (a[..., 0] < b[..., 2]) & (b[..., 0] < a[..., 2]) & (a[..., 1] < b[..., 3]) & (b[..., 1] < a[..., 3]), bool
    )
