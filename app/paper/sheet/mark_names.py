"""The name of a registration mark, on both sides of it, so that each of two sheets cut apart there keeps one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from app.paper.sheet.registration import ARM, Seam
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.shown_in_window import Stock
from app.scene.metrics import ASCENT, CAP_HEIGHT, DESCENT, text_width
from app.scene.palette import TEXT
from app.scene.primitives import Point, Text

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

_SIZE: Final = 2.8
_OFF, _UP = 1.6, 2.5  # where a name stands beside the upright arm, and over the level one [mm]
_LOW: Final = -_UP - CAP_HEIGHT * _SIZE
_AIR: Final = 0.25
_LOOK: Final = 24.0  # how far about a mark is looked [mm]
_LOT: Final = 128  # marks that are named together

# Over the arm, under it, beside its end, then step by step farther off.
_SPOTS: Final = np.array(
    [
        (_OFF, _UP), (_OFF, _LOW), (ARM + 0.8, _UP - 2.0), (ARM + 0.8, _LOW + 2.0),
        *((_OFF + along, side + (out if side > 0 else -out))
          for out in (0.5, 1.0, 2.0, 3.0, 4.5, 6.0) for along in (0.0, 1.0, 2.5, 4.0) for side in (_UP, _LOW)),
    ]
)  # fmt: skip

_FIRST: Final = 4


NamedMark = tuple[str, Point, Seam]
"""A registration mark: its name, its place, and the seam it is on."""


def mark_names(marks: Sequence[NamedMark], stock: Stock, ruled: Sequence[RuledLine]) -> list[list[Text]]:
    """The names beside each mark, the same on both sheets: at its right and its left, clear of holes and lines.

    One is left out where there is no room for it.
    """
    found: list[list[Text]] = []
    for first in range(0, len(marks), _LOT):
        found += _named(marks[first : first + _LOT], stock, ruled)
    return found


def _named(marks: Sequence[NamedMark], stock: Stock, ruled: Sequence[RuledLine]) -> list[list[Text]]:
    """The same of a lot; mostly one of the first places will do, and the others need not be looked at."""
    chosen, sure = _chosen(marks, _SPOTS[:_FIRST], stock, ruled)
    unsure = [k for k, both in enumerate(sure) if not both]
    again, _ = _chosen([marks[k] for k in unsure], _SPOTS, stock, ruled) if unsure else ([], [])
    for k, places in zip(unsure, again, strict=True):
        chosen[k] = places
    return [
        [Text(at, mark[0], _SIZE, TEXT, "end" if side else "start") for side, at in enumerate(places) if at]
        for mark, places in zip(marks, chosen, strict=True)
    ]


def _chosen(
    marks: Sequence[NamedMark], places: Floats, stock: Stock, ruled: Sequence[RuledLine]
) -> tuple[list[list[Point | None]], list[bool]]:
    """The first good places at the right and the left of each mark, None for none; and whether both are in no hole.

    Rather in a hole than not at all.
    """
    starts, boxes = _places(marks, places)
    shape = starts.shape[:3]
    free, outside = (found.reshape(shape) for found in _free(marks, boxes, stock, ruled))
    sure, some = np.asarray(outside.any(axis=2)), np.asarray(free.any(axis=2))
    first = np.where(sure, outside.argmax(axis=2), free.argmax(axis=2))[:, :, None, None]
    places = np.take_along_axis(starts, first, axis=2)[:, :, 0].tolist()
    found = [
        [(x, y) if good else None for (x, y), good in zip(*both, strict=True)]
        for both in zip(places, some.tolist(), strict=True)
    ]
    return found, (sure[:, 0] & sure[:, 1]).tolist()


def _places(marks: Sequence[NamedMark], places: Floats) -> tuple[Floats, Floats]:
    """Where names may stand, shape (marks, 2, places, 2), at the right and at the left; and what each takes there.

    The rectangles have the shape (marks, 2 places, 4), those at the right first.
    """
    at = np.array([mark[1] for mark in marks])
    width = np.array([text_width(mark[0], _SIZE) for mark in marks])
    starts = at[:, None, None] + places * np.array([[[1.0, 1.0]], [[-1.0, 1.0]]])
    left = starts[..., 0] - np.column_stack([np.zeros(len(marks)), width])[:, :, None]
    low, high = starts[..., 1] - DESCENT * _SIZE, starts[..., 1] + ASCENT * _SIZE
    right = left + width[:, None, None]
    boxes = np.stack([left - _AIR, low - _AIR, right + _AIR, high + _AIR], axis=-1)
    return starts, boxes.reshape(len(marks), -1, 4)


def _free(marks: Sequence[NamedMark], boxes: Floats, stock: Stock, ruled: Sequence[RuledLine]) -> tuple[Flags, Flags]:
    """Which of ``boxes``, shape (marks, n, 4), cover no line; and which of these lie in no hole either."""
    at = np.array([mark[1] for mark in marks])
    near = np.hstack([at - _LOOK, at + _LOOK])
    free = ~_ruled_over(boxes, ruled) & _shown(boxes, [seam for _, _, seam in marks])
    axes = np.array([0 if seam.axis == "x" else 1 for _, _, seam in marks])
    rows = np.arange(len(marks))
    along = np.array([seam.at for _, _, seam in marks])[:, None]
    free &= ~((boxes[rows, :, axes] <= along) & (along <= boxes[rows, :, axes + 2]))
    for lines in (stock.cross_boxes, stock.rim_boxes):
        free &= ~_hit(boxes, lines.pairs(near), lines.rows, _meet)
    free &= ~_hit(boxes, stock.round_boxes.pairs(near), stock.rounds, _on_rims)
    return free, free & ~_hit(boxes, stock.disc_boxes.pairs(near), stock.discs, _in_discs)


def _shown(boxes: Floats, seams: Sequence[Seam]) -> Flags:
    """Which of ``boxes``, shape (seams, n, 4), lie in the windows of both sheets of their seam."""
    first, second = (
        np.array([sheet.window for sheet in sheets])
        for sheets in zip(*((s.first, s.second) for s in seams), strict=True)
    )
    low, high = np.maximum(first, second)[:, None, :2], np.minimum(first, second)[:, None, 2:]
    return np.asarray((boxes[..., :2] >= low).all(axis=-1) & (boxes[..., 2:] <= high).all(axis=-1), bool)


def _ruled_over(boxes: Floats, ruled: Sequence[RuledLine]) -> Flags:
    """Which of ``boxes`` a ruled line runs through."""
    over = np.zeros(boxes.shape[:2], bool)
    for line in ruled:
        axis = 0 if line.axis == "x" else 1
        over |= (boxes[..., axis] <= line.at) & (line.at <= boxes[..., axis + 2])
    return over


def _hit(boxes: Floats, pairs: tuple[Ints, Ints], things: Floats, test: Callable[[Floats, Floats], Flags]) -> Flags:
    """Which of ``boxes``, shape (marks, n, 4), any of the things near their mark is in the way of.

    Args:
        boxes: where names may stand.
        pairs: rows of marks, in order, and of the things near each.
        things: a row each.
        test: whether boxes, as x0, y0, x1, y1 of shape (pairs, n), and things, with columns of (pairs, 1), meet.
    """
    found = np.zeros(boxes.shape[:2], bool)
    i, j = pairs
    if len(i):
        met = test(np.moveaxis(boxes[i], 2, 0), things[j].T[:, :, None])
        first = np.flatnonzero(np.diff(i, prepend=-1))
        found[i[first]] = np.logical_or.reduceat(met, first, axis=0)
    return found


def _in_discs(boxes: Floats, discs: Floats) -> Flags:
    (x0, y0, x1, y1), (cx, cy, r) = boxes, discs
    dx, dy = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0), np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
    return np.asarray(np.hypot(dx, dy) < r, bool)


def _on_rims(boxes: Floats, circles: Floats) -> Flags:
    """Whether a circle's line runs through a box: its nearest point lies within, its farthest beyond."""
    (x0, y0, x1, y1), (cx, cy, r) = boxes, circles
    dx, dy = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0), np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
    far = np.hypot(np.maximum(cx - x0, x1 - cx), np.maximum(cy - y0, y1 - cy))
    return np.asarray((np.hypot(dx, dy) <= r) & (far >= r), bool)


def _meet(boxes: Floats, others: Floats) -> Flags:
    (x0, y0, x1, y1), (a0, b0, a1, b1) = boxes, others
    return np.asarray((x0 <= a1) & (a0 <= x1) & (y0 <= b1) & (b0 <= y1), bool)
