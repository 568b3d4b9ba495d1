"""A free place on a board for a part that was added without saying where."""

from __future__ import annotations

import math
from collections.abc import Callable

from app.arrange.spot import reach_of
from app.geometry.shapes import Point
from app.model.part import Part
from app.model.resolved import ResolvedBoard

_STEP = 10.0  # mm between places tried
_APART = 6.0  # mm kept between circles round two parts


def free_spot(board: ResolvedBoard, part: Part) -> Point:
    """The free place nearest to the middle of the board, as far as circles round the parts tell [mm].

    Where nothing is free it is the middle of the board: the part is seen there, the fit report says what it
    meets, and it can be dragged.
    """
    x0, y0, x1, y1 = board.outline.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    radius = reach_of(part)
    taken = [(p.x, p.y, reach_of(p.part)) for p in board.placements]
    spots = sorted(_lattice(x0 + radius, y0 + radius, x1 - radius, y1 - radius, middle), key=_order(middle))
    for spot in spots:
        if all(math.dist(spot, (x, y)) >= radius + r + _APART for x, y, r in taken):
            return spot
    return middle


def _lattice(x0: float, y0: float, x1: float, y1: float, middle: Point) -> list[Point]:
    across = range(math.ceil((x0 - middle[0]) / _STEP), math.floor((x1 - middle[0]) / _STEP) + 1)
    along = range(math.ceil((y0 - middle[1]) / _STEP), math.floor((y1 - middle[1]) / _STEP) + 1)
    return [(middle[0] + i * _STEP, middle[1] + j * _STEP) for i in across for j in along]


def _order(middle: Point) -> Callable[[Point], tuple[float, float, float]]:
    return lambda spot: (round(math.dist(spot, middle), 6), spot[1], spot[0])
