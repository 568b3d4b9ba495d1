"""What a drag would come to, while it lasts."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import find_placement
from app.document.resolve import place_part
from app.document.schema import ArrangementEntry
from app.errors import NotFoundError
from app.model.resolved import ResolvedBoard
from app.service.checking import CheckResult, judged
from app.service.drawings import with_placements
from app.service.landing import landed


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
        moved[placement] = place_part(to, placed.part, board.shop, board.thickness, board.paint)
    return judged(with_placements(board, moved))
