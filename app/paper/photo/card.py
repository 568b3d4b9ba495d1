"""A photo card as it is drawn: its marker, where to cut, and which corner it is for."""

from __future__ import annotations

from functools import partial
from typing import Final

from app.geometry.shapes import Point
from app.model.photo_cards import CORNERS, Cards
from app.paper.photo.marker_cells import marker_cells
from app.scene.metrics import fitting_size
from app.scene.palette import TEXT
from app.scene.primitives import Item, Line, LineTo, MoveTo, Path, Step, Style, Text

INK: Final = "#000000"
Cell = tuple[int, int]
"""A corner of cells: its column and its row, from the upper left."""

_MARKER = Style(stroke=None, fill=INK, role="marker")
_CUT = Style(stroke=INK, width=0.13, role="cut-line")
_EXACT = Style(stroke=INK, width=0.13, role="cut-line-exact")
_TICK: Final = 5.0  # how far lines run on past a corner, for the rule [mm]


def card_items(cards: Cards, corner: int, low: Point) -> list[Item]:
    """A card whose front left end, its tab counted, is at a place of the page [mm]."""
    x, y = low
    front = corner in (0, 1)  # its tab lies towards the middle of the board
    left = corner in (0, 3)
    high = cards.side + cards.tab
    square = y if front else y + cards.tab
    items: list[Item] = [_marker(cards, corner, (x + cards.quiet, square + cards.quiet))]
    box = ((x, y), (x + cards.side, y), (x + cards.side, y + high), (x, y + high))
    items += [Line(a, b, _CUT) for a, b in zip(box, (*box[1:], box[0]), strict=True)]
    level, upright = (y if front else y + high), (x if left else x + cards.side)
    items += [
        Line((x - _TICK, level), (x + cards.side + _TICK, level), _EXACT),
        Line((upright, y - _TICK), (upright, y + high + _TICK), _EXACT),
    ]
    return [*items, *_tab(cards, corner, (x, y + cards.side if front else y))]


def _marker(cards: Cards, corner: int, low: Point) -> Path:
    """All that is black of a marker, as one path: what of two cells is side by side has no gap between."""
    cells = marker_cells(cards.numbers[corner])
    many, cell = len(cells), cards.marker / len(cells)
    x0, top = low[0], low[1] + cards.marker
    steps: list[Step] = []
    start: Point | None = None
    for ring in _rings([[not white for white in row] for row in cells], many):
        points = [(x0 + i * cell, top - j * cell) for i, j in ring]
        if start is None:
            start = points[0]
        else:
            steps.append(MoveTo(points[0]))
        steps += [LineTo(point) for point in points[1:]]
    return Path(start or low, tuple(steps), _MARKER, closed=True)


def _rings(black: list[list[bool]], many: int) -> list[list[Cell]]:
    """The borders of what is black, corner by corner of the cells (column, row), black always on the same hand."""
    onward: dict[Cell, list[Cell]] = {}

    def is_black(i: int, j: int) -> bool:
        return 0 <= i < many and 0 <= j < many and black[j][i]

    for j in range(many):
        for i in range(many):
            if not is_black(i, j):
                continue
            for beside, a, b in (
                ((i, j - 1), (i, j), (i + 1, j)), ((i + 1, j), (i + 1, j), (i + 1, j + 1)),
                ((i, j + 1), (i + 1, j + 1), (i, j + 1)), ((i - 1, j), (i, j + 1), (i, j)),
            ):  # fmt: skip
                if not is_black(*beside):
                    onward.setdefault(a, []).append(b)
    rings = []
    while onward:
        start = min(onward)
        ring, at, came = [start], start, (0, 0)
        while True:
            ways = onward[at]
            # Where two cells touch at a corner alone, the border turns back to its own cell.
            way = min(ways, key=partial(_turn, came, at))
            ways.remove(way)
            if not ways:
                del onward[at]
            came, at = (way[0] - at[0], way[1] - at[1]), way
            if at == start:
                break
            ring.append(at)
        rings.append(ring)
    return rings


def _turn(came: Cell, at: Cell, to: Cell) -> int:
    """Rank of the way on to a place: the turn towards the black cell first."""
    return -(came[0] * (to[1] - at[1]) - came[1] * (to[0] - at[0]))


def _tab(cards: Cards, corner: int, low: Point) -> list[Item]:
    words = f"{corner + 1} {CORNERS[corner]}"
    size = min(fitting_size(words, cards.side - 2.0, 3.6), 3.6)
    return [Text((low[0] + cards.side / 2, low[1] + cards.tab / 2 - size / 3), words, size, TEXT, "middle", bold=True)]
