"""Where a dragged part lands: at a place that draws it to it, or on the grid."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.view.snaps import HELD, landing, snaps
from app.geometry.shapes import Point
from app.model.resolved import ResolvedBoard


def snapped(value: float, grid: float) -> float:
    """``value`` on the grid, counted from the datum edge [mm]; a grid of 0 leaves it where it is.

    Places in mm and in sixteenths have few decimals; what is left of binary arithmetic is taken off, so that
    the file says 120.65 and not 120.64999999999999.
    """
    return round(round(value / grid) * grid, 6) if grid > 0 else value


def landed(board: ResolvedBoard, placements: Sequence[str], dx: float, dy: float, grid: float) -> Point:
    """Where the first of the placements lands when they are moved by ``(dx, dy)`` [mm].

    Args:
        board: the board as it was when they were taken up.
        placements: ids of what is moved, the one in hand first, which is on the board.
        dx: shift to the right.
        dy: shift to the back.
        grid: step of the grid; 0 for exactly where it was let go.
    """
    held = board.placed(placements[0])
    if held is None:
        raise LookupError(placements[0])
    to = (held.x + dx, held.y + dy)
    if grid <= 0:
        return to
    there = held.moved(dx, dy)
    taken = landing(snaps(board, there, placements, HELD), there)
    x, y = taken.get("x"), taken.get("y")
    return (
        round(x.at, 6) if x else snapped(to[0], grid),
        round(y.at, 6) if y else snapped(to[1], grid),
    )
