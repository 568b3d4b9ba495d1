"""What a drag would come to, while it lasts."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.arrange.change import find_placement
from app.document.resolve import place_part
from app.document.schema import ArrangementEntry
from app.drafting.view.snaps import HOLD, Snap, landing, on_grid, snaps
from app.errors import NotFoundError
from app.geometry.shapes import Point
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import CheckResult, judged
from app.service.drawings.drawings import moving_svg, row_code, with_placements
from app.service.edits.landing import landed
from app.service.screens.words import as_typed
from app.units import Unit


class DragFollower(Struct, frozen=True):
    """What follows a part while it is dragged.

    Args:
        drawing: groups of the drawing, each to be swapped for the one of its name.
        x, y: where the part would land, from the datum edges, in words.
        row: code of the parts that are cut through with it.
        lines: shifts on the drawing, y down and the underside mirrored, that bring the part to lines that draw it, by
            axis; with the grid, how far its first lines are, and how far off a hand is still held [mm].
    """

    drawing: str
    x: str
    y: str
    row: str
    lines: dict[str, list[float]]


def follower_of(
    seen: CheckResult, face: Face, moved: Sequence[str], start: Point, grid: float, *, first: bool, row: str
) -> DragFollower:
    """What follows the parts that are moved, the first of them in hand.

    Args:
        seen: the board as it would be.
        face: the face shown.
        moved: ids of the parts.
        start: where the part in hand was taken up [mm].
        grid: step of the grid; 0 if nothing draws the part [mm].
        first: whether the drag only begins.
        row: the code of the row on the page.
    """
    board, unit = seen.resolved, Unit(seen.resolved.units)
    held = board.placed(moved[0])
    near = snaps(board, held, moved) if held is not None and grid > 0 else ()
    on = landing(near, held) if held is not None else {}
    taken = (*on.values(), *on_grid(held, on, grid)) if held is not None else ()
    return DragFollower(
        drawing=moving_svg(seen, face, moved[0], first=first, row=row, taken=taken),
        x=as_typed(held.x, unit) if held is not None else "",
        y=as_typed(held.y, unit) if held is not None else "",
        row=row_code(seen, moved[0]),
        lines=_shifts(near, face, start, grid) if grid > 0 else {},
    )


def _shifts(near: Sequence[Snap], face: Face, start: Point, grid: float) -> dict[str, list[float]]:
    """Shifts of the drawing, which counts downward and shows the underside mirrored [mm]."""
    ways = {"x": -1.0 if face == "under" else 1.0, "y": -1.0}
    found: dict[str, list[float]] = {"x": [], "y": [], "grid": [grid], "hold": [HOLD]}
    for snap in near:
        found[snap.axis].append(round(ways[snap.axis] * (snap.at - start[snap.axis == "y"]), 6))
    # How far the first line of the grid is from where the part was taken up.
    found["grid"] += [round(ways[axis] * -(start[axis == "y"] % grid), 6) for axis in ("x", "y")]
    return found


def dragged_to(
    board: ResolvedBoard, entries: ArrangementEntry, placements: Sequence[str], dx: float, dy: float, grid: float
) -> CheckResult:
    """The board with placements moved by ``(dx, dy)`` [mm], judged; it lands as a drag that is let go does.

    Args:
        board: as it was when they were taken up.
        entries: the arrangement in its document.
        placements: ids of what is moved, the one in hand first; locked ones stay.
        dx: shift to the right.
        dy: shift to the back.
        grid: step of the grid; 0 for exactly there.

    Raises:
        NotFoundError: a placement is not on the board any more.
    """
    held = find_placement(entries, placements[0])
    x, y = landed(board, placements, dx, dy, grid)
    shift = (x - held.x, y - held.y)
    moved = {}
    for placement in placements:
        entry, placed = find_placement(entries, placement), board.placed(placement)
        if placed is None:
            raise NotFoundError(f"There is no part “{placement[:40]}” on this board any more.")
        if entry.locked:
            continue
        to = entry.model_copy(update={"x": entry.x + shift[0], "y": entry.y + shift[1]})
        pattern = placed.part.is_pattern  # of thousands of holes no bit is looked for again
        there = placed.moved(to.x - placed.x, to.y - placed.y) if pattern else None
        moved[placement] = there or place_part(to, placed.part, board.tooling, board.thickness, board.paint)
    return judged(with_placements(board, moved))
