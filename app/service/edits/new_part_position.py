"""A free place on a board for a part that was added or copied without saying where."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import islice

from app.arrange.placement.free_position import reach_of
from app.catalogue.load import catalogue
from app.fit.finding import Finding
from app.fit.report.report import check
from app.geometry.shapes import Point
from app.model.part import Part
from app.model.resolved import Placed, ResolvedBoard

_STEP = 10.0  # mm between places tried
_APART = 6.0  # mm kept between circles round two parts
_JUDGED = 40  # places at which the rules are asked: each takes as long as a report


def free_position(board: ResolvedBoard, part: Part) -> Point:
    """The free place nearest to the middle of the board, as far as circles round the parts tell [mm].

    Where nothing is free it is the middle of the board: the part is seen there, the fit report says what it
    meets, and it can be dragged.
    """
    x0, y0, x1, y1 = board.outline.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    return next(_free(board, part, middle), middle)


def clear_position(board: ResolvedBoard, copy: Placed, first: Placed, place: Callable[[float], float]) -> Point | None:
    """The place nearest to the first part at which a copy of it adds no stop and no caution.

    Args:
        board: the board, with the copy on it wherever.
        copy: the copy.
        first: the part it was copied from; what ails it ails the copy as well, wherever that is.
        place: puts a coordinate on the grid [mm].

    Returns:
        The copy's own place if it is clear there; None if none of the places tried is.
    """
    others = board.populated(tuple(p for p in board.placements if p.id != copy.id))
    ails = {f.rule for f in check(others, catalogue()).findings if first.id in f.subjects and f.severity != "note"}
    for position in islice(_near(others, copy, (first.x, first.y)), _JUDGED):
        x, y = place(position[0]), place(position[1])
        there = copy.moved(x - copy.x, y - copy.y)
        seen = check(others.populated((*others.placements, there)), catalogue())
        if not any(_hurts(f, copy.id, ails) for f in seen.findings):
            return (x, y)
    return None


def _near(others: ResolvedBoard, copy: Placed, first: Point) -> Iterator[Point]:
    yield (copy.x, copy.y)
    yield from _free(others, copy.part, first)


def _hurts(finding: Finding, copy: str, ails: set[str]) -> bool:
    return finding.severity != "note" and copy in finding.subjects and finding.rule not in ails


def _free(board: ResolvedBoard, part: Part, near: Point) -> Iterator[Point]:
    """Places within the board, clear of the others as far as circles round the parts tell, the nearest first."""
    x0, y0, x1, y1 = board.outline.bounds
    radius = reach_of(part)
    taken = [(p.x, p.y, reach_of(p.part)) for p in board.placements]
    for position in sorted(_lattice(x0 + radius, y0 + radius, x1 - radius, y1 - radius, near), key=_order(near)):
        if all(math.dist(position, (x, y)) >= radius + r + _APART for x, y, r in taken):
            yield position


def _lattice(x0: float, y0: float, x1: float, y1: float, middle: Point) -> list[Point]:
    across = range(math.ceil((x0 - middle[0]) / _STEP), math.floor((x1 - middle[0]) / _STEP) + 1)
    along = range(math.ceil((y0 - middle[1]) / _STEP), math.floor((y1 - middle[1]) / _STEP) + 1)
    return [(middle[0] + i * _STEP, middle[1] + j * _STEP) for i in across for j in along]


def _order(middle: Point) -> Callable[[Point], tuple[float, float, float]]:
    return lambda position: (round(math.dist(position, middle), 6), position[1], position[0])
