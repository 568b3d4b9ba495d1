"""Ink kept away from the centres of holes, so that a punch finds bare paper."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from app.scene.curves import angle_of
from app.scene.primitives import Arc, Circle, Item, Line, Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_MOST: Final = 2_000_000
"""No more pairs than this are looked at together, however the centres lie."""

_Gap = tuple[float, float]


def keep_bare(items: Iterable[Item], centres: Sequence[Point] | Floats, clear: float) -> list[Item]:
    """The lines and circles of ``items`` broken where they would come within ``clear`` of a centre.

    Args:
        items: what is drawn; paths and words are left as they are.
        centres: centres of holes [mm], also as an array of shape (n, 2).
        clear: least distance from a centre to the middle of a line [mm].
    """
    return keep_all_bare([items], centres, clear)[0]


def keep_all_bare(lots: Iterable[Iterable[Item]], centres: Sequence[Point] | Floats, clear: float) -> list[list[Item]]:
    """Several lots of items, each as :func:`keep_bare` leaves it; all are looked at together."""
    drawn = [list(items) for items in lots]
    at = np.asarray(centres, float).reshape(-1, 2)
    every = [item for items in drawn for item in items]
    lines = [(k, item) for k, item in enumerate(every) if isinstance(item, Line)]
    circles = [(k, item) for k, item in enumerate(every) if isinstance(item, Circle)]
    broken: dict[int, Sequence[Item]] = {k: () for k, line in lines if line.a == line.b}
    lines = [pair for pair in lines if pair[0] not in broken] if broken else lines
    for row, gaps in _gaps_in_lines([line for _, line in lines], at, clear).items():
        broken[lines[row][0]] = _broken_line(lines[row][1], gaps)
    for row, gaps in _gaps_in_circles([circle for _, circle in circles], at, clear).items():
        broken[circles[row][0]] = _broken_circle(circles[row][1], gaps)
    return _with_pieces(drawn, broken) if broken else drawn


def _with_pieces(drawn: list[list[Item]], broken: Mapping[int, Sequence[Item]]) -> list[list[Item]]:
    """Lots of items with pieces in the places of those that are broken, which are numbered through all lots."""
    found: list[list[Item]] = []
    places, done = deque(sorted(broken)), 0
    for items in drawn:
        kept: list[Item] = []
        here = 0
        while places and places[0] < done + len(items):
            place = places.popleft()
            kept += items[here : place - done]
            kept += broken[place]
            here = place - done + 1
        found.append(kept + items[here:])
        done += len(items)
    return found


def _gaps_in_lines(lines: Sequence[Line], at: Floats, clear: float) -> dict[int, list[_Gap]]:
    """Which stretches of lines come too near to a centre, by the line's row [mm from its start]."""
    if not lines:
        return {}
    ends = np.array([(*line.a, *line.b) for line in lines], float).reshape(-1, 2, 2)
    a, b = ends[:, 0], ends[:, 1]
    boxes = np.hstack([np.minimum(a, b) - clear, np.maximum(a, b) + clear])
    found: dict[int, list[_Gap]] = {}
    for i, j in _pairs(boxes, at):
        (dx, dy), (rx, ry) = (at[j] - ends[i, 0]).T, (ends[i, 1] - ends[i, 0]).T
        length = np.hypot(rx, ry)
        ux, uy = rx / length, ry / length
        along, off = dx * ux + dy * uy, dx * uy - dy * ux
        near = (np.abs(off) < clear) & (-clear < along) & (along < length + clear)
        half = np.sqrt(clear * clear - off[near] ** 2)
        _note(found, i[near], along[near] - half, along[near] + half)
    return found


def _gaps_in_circles(circles: Sequence[Circle], at: Floats, clear: float) -> dict[int, list[_Gap]]:
    """Which arcs of circles come too near to a centre that is not their own, by the circle's row [degrees]."""
    if not circles:
        return {}
    rows = np.array([(*circle.centre, circle.radius) for circle in circles], float).reshape(-1, 3)
    reach = rows[:, 2:] + clear
    found: dict[int, list[_Gap]] = {}
    for i, j in _pairs(np.hstack([rows[:, :2] - reach, rows[:, :2] + reach]), at):
        d, r = np.hypot(*(at[j] - rows[i, :2]).T), rows[i, 2]
        near = (d > 1e-9) & (np.abs(d - r) < clear)
        for row, centre, far in zip(i[near].tolist(), at[j[near]].tolist(), d[near].tolist(), strict=True):
            radius = circles[row].radius
            reaches = (far * far + radius * radius - clear * clear) / (2 * far * radius)
            half = math.degrees(math.acos(min(1.0, max(-1.0, reaches))))
            turn = angle_of(circles[row].centre, (centre[0], centre[1])) % 360.0
            found.setdefault(row, []).append((turn - half, turn + half))
    return found


def _pairs(boxes: Floats, at: Floats) -> Iterable[tuple[Ints, Ints]]:
    """Rows of rectangles, shape (n, 4), and of the places in each, in their order; in lots that memory holds."""
    order = np.argsort(at[:, 0], kind="stable")
    across = at[order, 0]
    lot = max(1, _MOST // max(1, len(at)))
    for first in range(0, len(boxes) if len(at) else 0, lot):
        some = boxes[first : first + lot]
        low, high = np.searchsorted(across, some[:, 0], "left"), np.searchsorted(across, some[:, 2], "right")
        many = high - low
        i = np.repeat(np.arange(len(some)), many)
        j = order[np.arange(len(i)) + np.repeat(low - np.cumsum(many) + many, many)]
        up = at[j, 1]
        inside = (some[i, 1] <= up) & (up <= some[i, 3])
        i, j = i[inside], j[inside]
        if len(i):
            sort = np.lexsort((j, i))
            yield i[sort] + first, j[sort]


def _note(found: dict[int, list[_Gap]], rows: Ints, low: Floats, high: Floats) -> None:
    for row, a, b in zip(rows.tolist(), low.tolist(), high.tolist(), strict=True):
        found.setdefault(row, []).append((a, b))


def _broken_line(line: Line, gaps: list[_Gap]) -> list[Item]:
    (ax, ay), (bx, by) = line.a, line.b
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    return [
        Line((ax + ux * s, ay + uy * s), (ax + ux * e, ay + uy * e), line.style, line.layer)
        for s, e in _between(gaps, 0.0, length)
    ]


def _broken_circle(circle: Circle, gaps: list[_Gap]) -> list[Item]:
    start = gaps[0][1]
    turned = [((a - start) % 360.0, (a - start) % 360.0 + (b - a)) for a, b in gaps]
    return [
        Arc(circle.centre, circle.radius, start + s, e - s, circle.style, circle.layer)
        for s, e in _between(turned, 0.0, 360.0)
    ]


def _between(gaps: list[tuple[float, float]], start: float, end: float) -> list[tuple[float, float]]:
    """What is left of ``start`` to ``end`` between the gaps."""
    left, here = [], start
    for low, high in sorted(gaps):
        if low > here:
            left.append((here, min(low, end)))
        here = max(here, high)
    if here < end:
        left.append((here, end))
    return [(a, b) for a, b in left if b - a > 1e-6]
