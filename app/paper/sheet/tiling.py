"""Which sheets a board is printed on: the fewest, with no seam through a hole's centre if that can be.

In this order: the fewest sheets; then the fewest centres a seam runs through; then the fewest it comes within
10 mm of; then the fewest holes cut (a hole counts once for each seam that cuts it); then the usual margin and
the most even windows. Seams go right across the board, at right angles; the two axes are searched apart,
each exactly (:mod:`app.paper.sheet.seams`), for every layout of the paper. Sheets that would show nothing of a board
with a notch or an opening are left out after that; the seams are not moved to make more of them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from app.paper.sheet.layout import Box, Orientation, SheetLayout
from app.paper.sheet.seams import Cost, Holes, least_share, place_seams, sheets_needed
from app.values import replace

Point = tuple[float, float]
Circle = tuple[float, float, float]
"""Centre and radius (x, y, r) [mm]."""

BLEED = 1.5
"""Paper beyond the board's rim on the outermost sheets, so that the rim is seen whole [mm]."""


_SHOWN = 1e-3
"""A sheet that shows less of the board than this shows nothing of it [mm²]."""


class Tile(Struct, frozen=True):
    """One sheet of a tiling.

    Args:
        row: from 1 at the back edge.
        column: from 1 at the left.
        window: what of the board is drawn on it [mm]; as large as the page allows.
        cell: what is left of it between the seams [mm].
        offset: page coordinates less board coordinates [mm].
    """

    row: int
    column: int
    window: Box
    cell: Box
    offset: Point


class Tiling(Struct, frozen=True):
    """How a board is laid out over sheets.

    Args:
        layout: how each page is divided.
        columns, rows: size of the grid.
        vertical: abscissae of the seams between columns, left to right [mm].
        horizontal: ordinates of the seams between rows, front to back [mm].
        tiles: the sheets that show something of the board, back row first, left to right.
        overlap: least overlap of two neighbours [mm].
        cost: what the seams run into.
        weighed: how many places for seams were weighed, over every layout of the paper that was looked at.
    """

    layout: SheetLayout
    columns: int
    rows: int
    vertical: tuple[float, ...]
    horizontal: tuple[float, ...]
    tiles: tuple[Tile, ...]
    overlap: float
    cost: Cost
    weighed: int = 0

    @property
    def orientation(self) -> Orientation:
        """How the paper lies."""
        return self.layout.orientation

    def tile(self, row: int, column: int) -> Tile | None:
        """The sheet at a place of the grid, or None if nothing of the board is there."""
        return next((t for t in self.tiles if (t.row, t.column) == (row, column)), None)


def tile(
    box: Box,
    circles: Sequence[Circle],
    layouts: Sequence[SheetLayout],
    overlap: float,
    *,
    rim: Sequence[Point] = (),
    openings: Sequence[Sequence[Point]] = (),
) -> Tiling:
    """The best tiling of a drawing.

    Args:
        box: rectangle round the board [mm].
        circles: the largest circle about every centre.
        layouts: ways to use the paper, the preferred first.
        overlap: least overlap of two neighbours [mm].
        rim: the board's rim as a polygon, to leave out sheets that would show nothing; empty for all of ``box``.
        openings: its inner openings as polygons.
    """
    found = np.array(circles, float).reshape(-1, 3)
    across, along = Holes(found[:, 0], found[:, 2]), Holes(found[:, 1], found[:, 2])
    fewest = min((_grid(box, one, overlap) for one in layouts if min(one.room) > 2 * overlap), default=0)
    lacking = _lacking(box, rim, openings)
    best: tuple[tuple[int, tuple[int, int, int], float, int, float], Tiling] | None = None
    weighed = 0
    for rank, layout in enumerate(layouts):
        width, height = layout.room
        if min(width, height) <= 2 * overlap:
            continue
        whole = lacking < _least_cell(box, layout, overlap)  # no sheet of it can be left out
        if whole and _grid(box, layout, overlap) > fewest:
            continue
        vertical, cost_x, places_x = place_seams(box[0] - BLEED, box[2] + BLEED, width, overlap, across)
        horizontal, cost_y, places_y = place_seams(box[1] - BLEED, box[3] + BLEED, height, overlap, along)
        cost = cost_x + cost_y
        weighed += places_x + places_y
        shape = ((), ()) if whole else (rim, openings)
        tiles = _tiles(box, vertical, horizontal, layout, overlap, *shape)
        made = Tiling(layout, len(vertical) + 1, len(horizontal) + 1, vertical, horizontal, tiles, overlap, cost)
        # Of a roll, the way that uses less of it.
        used = layout.paper.height if layout.paper.roll else 0.0
        key = (len(tiles), cost.key[:3], used, rank, cost.key[3])
        if best is None or key < best[0]:
            best = (key, made)
    if best is None:
        raise ValueError("no layout is wider than twice the overlap")
    return replace(best[1], weighed=weighed)


def _lacking(box: Box, rim: Sequence[Point], openings: Sequence[Sequence[Point]]) -> float:
    """How much of its rectangle a board does not fill [mm²]."""
    filled = _area_in(rim, box) if rim else (box[2] - box[0]) * (box[3] - box[1])
    return (box[2] - box[0]) * (box[3] - box[1]) - filled + sum(_area_in(o, box) for o in openings)


def _grid(box: Box, layout: SheetLayout, overlap: float) -> int:
    """How many sheets cover the whole rectangle."""
    sides = (box[2] - box[0] + 2 * BLEED, box[3] - box[1] + 2 * BLEED)
    across, along = (sheets_needed(side, room, overlap) for side, room in zip(sides, layout.room, strict=True))
    return across * along


def _least_cell(box: Box, layout: SheetLayout, overlap: float) -> float:
    """Area of the rectangle round a board that every sheet has to itself, wherever the seams are, or more [mm²]."""
    across, along = (
        _least_side(side, room, overlap)
        for side, room in zip((box[2] - box[0], box[3] - box[1]), layout.room, strict=True)
    )
    return across * along - _SHOWN


def _least_side(side: float, room: float, overlap: float) -> float:
    """How narrow the part of one sheet between its seams may be along an axis, without the bleed [mm]."""
    whole = side + 2 * BLEED
    return max(least_share(whole, room, overlap) - BLEED, 0.0) if sheets_needed(whole, room, overlap) > 1 else side


def _tiles(
    box: Box,
    vertical: Sequence[float],
    horizontal: Sequence[float],
    layout: SheetLayout,
    overlap: float,
    rim: Sequence[Point],
    openings: Sequence[Sequence[Point]],
) -> tuple[Tile, ...]:
    xs = [box[0] - BLEED, *vertical, box[2] + BLEED]
    ys = [box[1] - BLEED, *horizontal, box[3] + BLEED]
    tiles = []
    boxes = [(*map(min, zip(*o, strict=True)), *map(max, zip(*o, strict=True))) for o in openings]
    rows = len(ys) - 1
    for row in range(1, rows + 1):
        j = rows - row
        for i in range(len(xs) - 1):
            cell = (xs[i], ys[j], xs[i + 1], ys[j + 1])
            inner = (o for o, its in zip(openings, boxes, strict=True) if _meet(its, cell))
            if rim and _area_in(rim, cell) - sum(_area_in(o, cell) for o in inner) < _SHOWN:
                continue
            window = (
                *_window(xs, i, layout.room[0], overlap),
                *_window(ys, j, layout.room[1], overlap),
            )
            placed = (window[0], window[2], window[1], window[3])
            offset = (layout.window[0] - placed[0], layout.window[1] - placed[1])
            tiles.append(Tile(row, i + 1, placed, cell, offset))
    return tuple(tiles)


def _meet(a: Sequence[float], b: Sequence[float]) -> bool:
    """Whether two rectangles x0, y0, x1, y1 have anything in common."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _window(edges: Sequence[float], index: int, room: float, overlap: float) -> tuple[float, float]:
    """The full window over a cell: what it must show, with what is left of the room shared at both ends."""
    low = edges[index] - (overlap / 2 if index > 0 else 0.0)
    high = edges[index + 1] + (overlap / 2 if index + 2 < len(edges) else 0.0)
    spare = (room - (high - low)) / 2
    return low - spare, low - spare + room


def _area_in(polygon: Sequence[Point], box: Box) -> float:
    """Area of the part of a polygon inside a rectangle [mm²] (clipped side by side, Sutherland and Hodgman 1974)."""
    points = list(polygon)
    for axis, limit, keep in ((0, box[0], 1), (0, box[2], -1), (1, box[1], 1), (1, box[3], -1)):
        clipped: list[Point] = []
        for a, b in zip(points, points[1:] + points[:1], strict=True):
            da, db = keep * (a[axis] - limit), keep * (b[axis] - limit)
            if da >= 0:
                clipped.append(a)
            if (da >= 0) != (db >= 0):
                t = da / (da - db)
                clipped.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t))
        points = clipped
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))) / 2
