"""Parts on the other side of the board's centre line: moved there, or copied.

The centre line runs front to back, midway between the outermost points of the rim. A part that is alike on both
sides of its own middle, as nearly all are, becomes its own mirror image when its angle is turned the other way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.arrange.change import Edit
from app.arrange.placement.several import added_copies, changed, chosen, names_of, plain_angle, tidy
from app.document.outlines import outline_of
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.errors import EditError

_SAME = 1e-6  # mm: places this near are the same


def centre_line(board: BoardEntry) -> float:
    """X of the line midway between the board's leftmost and rightmost points [mm]."""
    x0, _, x1, _ = outline_of(board.outline.corners).bounds
    return (x0 + x1) / 2


def mirrored(placement: PlacementEntry, axis: float) -> dict[str, float]:
    """Fields of a placement for its mirror image about ``x = axis`` [mm]."""
    return {"x": tidy(2 * axis - placement.x), "y": placement.y, "angle": plain_angle(-placement.angle)}


def mirror(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str]) -> Edit:
    """Move placements to their mirror places about the centre line; locked ones stay.

    Raises:
        EditError: none is chosen, or all are locked.
    """
    found = chosen(design, board, arrangement, ids, "mirror it", least=1)
    axis = centre_line(found.board)
    rows = {p.id: mirrored(p, axis) for p in found.free}
    return changed(design, board, arrangement, rows, f"Mirrored {found.names} about the centre line")


def mirror_copies(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str]) -> Edit:
    """Place mirror images of placements on the other side of the centre line, under letters of their own.

    One whose mirror place is taken already, as on the centre line by itself, gets none.

    Raises:
        EditError: none is chosen, every mirror place is taken, or the arrangement would be too full.
    """
    found = chosen(design, board, arrangement, ids, "copy it", least=1, moving=False)
    axis = centre_line(found.board)
    images = [p.model_copy(update={**mirrored(p, axis), "station": ""}) for p in found.all]
    new = [i for i in images if not any(math.dist((i.x, i.y), (p.x, p.y)) < _SAME for p in found.within.placements)]
    if not new:
        raise EditError("There is already a part at every mirrored position. Choose others, or move them first.", "how")
    return added_copies(design, board, arrangement, new, f"Copied {names_of(found.all)} about the centre line as {{}}")
