"""Places on a board are distances from its datum edges; when those move, everything is measured anew from them.

The datum edges are the lines that touch the rim at its leftmost and its frontmost point: the straight edges there, or
the tangents of a round one.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import with_board
from app.document.as_built import shifted
from app.document.outlines import outline_of
from app.document.schema import ArrangementEntry, BoardEntry, CornerEntry, Design, OutlineEntry
from app.geometry.outline import Corner, Outline
from app.units import LONGEST

_SAME = 1e-6  # mm: a rim this near to its datum edges touches them


def from_datum(design: Design) -> Design:
    """The design with every board's places counted from its own datum edges; nothing moves on the material.

    A file may count them from elsewhere. A design that counts as it should is given back as it is.
    """
    for board in design.boards:
        outlines = [outline_of(entry) for entry in (board.outline.corners, *board.outline.openings)]
        x0, y0, _, _ = outlines[0].bounds
        if max(abs(x0), abs(y0)) > _SAME:
            design = with_board(design, measured_anew(board, outlines, -x0, -y0))
    return design


def measured_anew(board: BoardEntry, outlines: Sequence[Outline], dx: float, dy: float) -> BoardEntry:
    """A board with other rings, whose datum edges have moved by ``(-dx, -dy)``: everything is that much farther off.

    Args:
        board: the board.
        outlines: its rim, then its openings, where they are on the board as it was.
        dx: how much farther everything is from the left edge [mm].
        dy: how much farther everything is from the front edge [mm].
    """
    new = tuple(tuple(_entry(c, dx, dy) for c in outline.corners) for outline in outlines)
    changes: dict[str, object] = {"outline": OutlineEntry(corners=new[0], openings=new[1:])}
    if (dx, dy) != (0.0, 0.0):
        changes["keep_clear"] = tuple(
            area.model_copy(update={"x": _sum(area.x, dx), "y": _sum(area.y, dy)}) for area in board.keep_clear
        )
        changes["arrangements"] = tuple(_rearranged(each, dx, dy) for each in board.arrangements)
    return board.model_copy(update=changes)


def _entry(corner: Corner, dx: float, dy: float) -> CornerEntry:
    setback = corner.setback if corner.setback and all(corner.setback) else None
    return CornerEntry(x=_sum(corner.x, dx), y=_sum(corner.y, dy), setback=setback)


def _rearranged(arrangement: ArrangementEntry, dx: float, dy: float) -> ArrangementEntry:
    """An arrangement whose datum edges have moved by ``(-dx, -dy)``."""
    placements = tuple(p.model_copy(update={"x": _sum(p.x, dx), "y": _sum(p.y, dy)}) for p in arrangement.placements)
    stations = tuple(
        # A front row before the front edge cannot be said of a station; its parts then stand where they were.
        s.model_copy(update={"centre": _sum(s.centre, dx), "front": max(0.0, _sum(s.front, dy))})
        for s in arrangement.stations
    )
    makers = tuple(m.model_copy(update={"x": _sum(m.x, dx), "y": _sum(m.y, dy)}) for m in arrangement.makers)
    built = shifted(arrangement.as_built, dx, dy) if arrangement.as_built else None
    update = {"placements": placements, "stations": stations, "makers": makers, "as_built": built}
    return arrangement.model_copy(update=update)


def _sum(value: float, shift: float) -> float:
    """Exact where nothing is added; else without what binary arithmetic leaves behind the ninth decimal."""
    return value if shift == 0.0 else min(max(round(value + shift, 9), -LONGEST), LONGEST) + 0.0
