"""Lines and arcs of a rim as rows of arrays: how far points are from them, and on which side.

A line is a row (ax, ay, bx, by) [mm]; an arc (cx, cy, radius, mid angle, half sweep, bulge) [mm, rad], whose bulge is
−1 where it bulges into the board and 1 elsewhere.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
Answer = tuple[Floats, Floats, Floats]
"""Distances of points to rows, and the nearest places, each of shape (points, rows) [mm]."""

BLOCK = 64
"""Rows looked at together: keeps the arrays of a curved rim small."""


def blocks(rows: Floats) -> list[Floats]:
    """The rows in blocks."""
    return [rows[start : start + BLOCK] for start in range(0, len(rows), BLOCK)]


def line_spans(lines: Floats) -> Floats:
    """Smallest upright rectangle around lines, (x0, y0, x1, y1) [mm]."""
    ends = lines.reshape(-1, 2)
    return np.concatenate((ends.min(axis=0), ends.max(axis=0)))


def arc_spans(arcs: Floats) -> Floats:
    """An upright rectangle around the arcs' whole circles, (x0, y0, x1, y1) [mm]."""
    cx, cy, r = arcs.T[:3]
    return np.array([(cx - r).min(), (cy - r).min(), (cx + r).max(), (cy + r).max()])


def nearer(x: Floats, y: Floats, span: Floats, best: Floats) -> Ints:
    """The points that something inside ``span`` may be nearer to than ``best``."""
    out_x = np.maximum(np.maximum(span[0] - x, x - span[2]), 0.0)
    out_y = np.maximum(np.maximum(span[1] - y, y - span[3]), 0.0)
    return np.flatnonzero(np.hypot(out_x, out_y) < best)


def to_lines(x: Floats, y: Floats, lines: Floats) -> Answer:
    """To the nearest point of each line."""
    ax, ay, bx, by = lines.T
    dx, dy = bx - ax, by - ay
    px, py = x[:, None] - ax, y[:, None] - ay
    t = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    fx, fy = ax + t * dx, ay + t * dy
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy


def to_arcs(x: Floats, y: Floats, arcs: Floats) -> Answer:
    """To the nearest point of each arc: radially where the angle lies in the sweep, else to the nearer end."""
    cx, cy, radius, mid, half = arcs.T[:5]
    turn = np.arctan2(y[:, None] - cy, x[:, None] - cx) - mid
    turn = np.clip((turn + np.pi) % (2 * np.pi) - np.pi, -half, half)
    fx, fy = cx + radius * np.cos(mid + turn), cy + radius * np.sin(mid + turn)
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy


def line_sides(x: Floats, y: Floats, lines: Floats) -> Flags:
    """Whether each point lies on the left of its line, where the board is; an opening's lines are never asked."""
    ax, ay, bx, by = lines.T
    left: Flags = (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
    return left


def arc_sides(x: Floats, y: Floats, arcs: Floats) -> Flags:
    """Whether each point lies on the side of its arc where the board is."""
    cx, cy, radius = arcs.T[:3]
    on_board: Flags = (np.hypot(x - cx, y - cy) <= radius) == (arcs[:, 5] > 0)
    return on_board
