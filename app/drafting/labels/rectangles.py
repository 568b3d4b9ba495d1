"""Rectangles that words take: how they lie to one another and to circles."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np
import numpy.typing as npt

from app.scene.primitives import Point

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Box = tuple[float, float, float, float]
Disc = tuple[float, float, float]


def turned(box: Box, axis: int) -> Box:
    """A box told along a row and across it, as it lies in the drawing."""
    return (box[1], box[0], box[3], box[2]) if axis else box


def all_within(rims: Sequence[Disc], discs: Sequence[Disc]) -> bool:
    """Whether every circle lies in a disc about its own centre, as those of holes do."""
    widest: dict[Point, float] = {}
    for x, y, r in discs:
        widest[x, y] = max(r, widest.get((x, y), 0.0))
    return all(r <= widest.get((x, y), -1.0) for x, y, r in rims)


def gap(box: Box, disc: Disc) -> float:
    """From a rectangle to a circle's rim; below 0 if they overlap [mm]."""
    (x, y, r), (x0, y0, x1, y1) = disc, box
    return hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) - r


def around(a: Point, b: Point, by: float) -> Box:
    """The rectangle round a line from ``a`` to ``b``, larger by ``by`` on every side [mm]."""
    return (min(a[0], b[0]) - by, min(a[1], b[1]) - by, max(a[0], b[0]) + by, max(a[1], b[1]) + by)


def meet(boxes: Floats, others: Floats) -> Flags:
    """Which of ``boxes``, shape (n, 4), overlap which of ``others``, shape (m, 4); the answer has the shape (n, m)."""
    x0, y0, x1, y1 = boxes.T[:, :, None]
    a0, b0, a1, b1 = others.T
    return np.asarray((x0 < a1) & (a0 < x1) & (y0 < b1) & (b0 < y1), bool)
