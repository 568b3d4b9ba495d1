"""The name of a registration mark, on both sides of it, so that each of two sheets cut apart there keeps one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from app.paper.sheet.registration import ARM, Seam
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.shown_in_window import Stock
from app.scene.metrics import ASCENT, CAP_HEIGHT, DESCENT, text_width
from app.scene.palette import TEXT
from app.scene.primitives import Circle, Line, Point, Text

Floats = npt.NDArray[np.float64]

_SIZE: Final = 2.8
_OFF, _UP = 1.6, 2.5  # where a name stands beside the upright arm, and over the level one [mm]
_LOW: Final = -_UP - CAP_HEIGHT * _SIZE
_AIR: Final = 0.25
_LOOK: Final = 24.0  # how far about a mark is looked [mm]

# Over the arm, under it, beside its end, then step by step farther off.
_SPOTS: Final = np.array(
    [
        (_OFF, _UP), (_OFF, _LOW), (ARM + 0.8, _UP - 2.0), (ARM + 0.8, _LOW + 2.0),
        *((_OFF + along, side + (out if side > 0 else -out))
          for out in (0.5, 1.0, 2.0, 3.0, 4.5, 6.0) for along in (0.0, 1.0, 2.5, 4.0) for side in (_UP, _LOW)),
    ]
)  # fmt: skip


def mark_names(name: str, at: Point, seam: Seam, stock: Stock, ruled: Sequence[RuledLine]) -> list[Text]:
    """The names beside a mark, the same on both sheets: at its right and its left, clear of holes and lines.

    One is left out where there is no room for it.
    """
    width = text_width(name, _SIZE)
    square = (at[0] - _LOOK, at[1] - _LOOK, at[0] + _LOOK, at[1] + _LOOK)
    discs = np.array(stock.circles(square), float).reshape(-1, 3)
    holes = [item for item in stock.holes(square) if isinstance(item, Circle)]
    circles = np.array([(*item.centre, item.radius) for item in holes], float).reshape(-1, 3)
    arms = [(line.a, line.b) for line in stock.crosses(square) if isinstance(line, Line)]
    lines = _line_boxes([*arms, *_ruled(ruled, square), _along(seam, square)])
    rims = stock.rims(square)
    starts = np.array(at) + _SPOTS * np.array([[[1.0, 1.0]], [[-1.0, 1.0]]])  # at its right, at its left
    left = (starts[:, :, 0] - np.array([[0.0], [width]])).ravel()
    low, high = starts[:, :, 1].ravel() - DESCENT * _SIZE, starts[:, :, 1].ravel() + ASCENT * _SIZE
    boxes = np.column_stack([left - _AIR, low - _AIR, left + width + _AIR, high + _AIR])
    free = _shown(boxes, seam) & ~(_on_rims(boxes, circles) | _meet(boxes, lines) | _meet(boxes, rims))
    outside = free & ~_in_discs(boxes, discs)
    found: list[Text] = []
    for side, open_to, rather in zip((0, 1), free.reshape(2, -1), outside.reshape(2, -1), strict=True):
        good = np.flatnonzero(rather if rather.any() else open_to)  # rather in a hole than not at all
        if len(good):
            x, y = starts[side, int(good[0])].tolist()
            found.append(Text((x, y), name, _SIZE, TEXT, "end" if side else "start"))
    return found


def _shown(boxes: Floats, seam: Seam) -> npt.NDArray[np.bool_]:
    """Which of ``boxes`` lie in the windows of both sheets."""
    a, b = np.array(seam.first.window), np.array(seam.second.window)
    low, high = np.maximum(a[:2], b[:2]), np.minimum(a[2:], b[2:])
    return np.asarray((boxes[:, :2] >= low).all(axis=1) & (boxes[:, 2:] <= high).all(axis=1), bool)


def _ruled(ruled: Sequence[RuledLine], square: tuple[float, float, float, float]) -> list[tuple[Point, Point]]:
    x0, y0, x1, y1 = square
    return [((r.at, y0), (r.at, y1)) if r.axis == "x" else ((x0, r.at), (x1, r.at)) for r in ruled]


def _along(seam: Seam, square: tuple[float, float, float, float]) -> tuple[Point, Point]:
    x0, y0, x1, y1 = square
    return ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))


def _line_boxes(lines: Sequence[tuple[Point, Point]]) -> Floats:
    return np.array([(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b in lines], float)


def _in_discs(boxes: Floats, discs: Floats) -> npt.NDArray[np.bool_]:
    x0, y0, x1, y1 = boxes.T[:, :, None]
    cx, cy, r = discs.T
    dx, dy = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0), np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
    return np.asarray((np.hypot(dx, dy) < r).any(axis=1), bool)


def _on_rims(boxes: Floats, circles: Floats) -> npt.NDArray[np.bool_]:
    """Which of ``boxes`` a circle's line runs through: its nearest point lies within, its farthest beyond."""
    x0, y0, x1, y1 = boxes.T[:, :, None]
    cx, cy, r = circles.T
    dx, dy = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0), np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
    far = np.hypot(np.maximum(cx - x0, x1 - cx), np.maximum(cy - y0, y1 - cy))
    return np.asarray(((np.hypot(dx, dy) <= r) & (far >= r)).any(axis=1), bool)


def _meet(boxes: Floats, others: Floats) -> npt.NDArray[np.bool_]:
    if not len(others):
        return np.zeros(len(boxes), bool)
    x0, y0, x1, y1 = boxes.T[:, :, None]
    a0, b0, a1, b1 = others.T
    met = (x0 <= a1) & (a0 <= x1) & (y0 <= b1) & (b0 <= y1)
    return np.asarray(met.any(axis=1), bool)
