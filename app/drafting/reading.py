"""The order in which parts of a board are read: row by row from the back, each from left to right as it is seen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drafting.facing import Facing
from app.model.resolved import Placed

ROW: Final = 24.0
"""Parts whose centres lie within this of the row's hindmost stand in one row [mm]: less than two buttons are apart
front to back, more than the columns of a hand's field are usually stepped by."""


def reading_order(placements: Sequence[Placed], view: Facing) -> tuple[Placed, ...]:
    """Placements in reading order on the face in view; those at one place stay as they were.

    A row begins with the hindmost part that is in none yet, and takes what lies within :data:`ROW` mm in front of it.
    """
    rows: list[list[Placed]] = []
    for placed in sorted(placements, key=lambda p: -p.y):
        if not rows or rows[-1][0].y - placed.y > ROW:
            rows.append([])
        rows[-1].append(placed)
    return tuple(p for row in rows for p in sorted(row, key=lambda p: view.x(p.x)))
