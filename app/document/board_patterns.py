"""Patterns that lie in the outline of the board they are on: what they are at a place follows from that board."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.outlines import outline_of
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_of
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.geometry.shapes import rotate
from app.model.pattern import Pattern


def board_boundary(board: BoardEntry, x: float, y: float, angle: float, inset: float) -> BoundaryEntry:
    """The board's own outline as a boundary about a place on it.

    Args:
        board: the board.
        x: the middle of the pattern from the left edge [mm].
        y: the same from the front edge [mm].
        angle: how far the pattern is turned there [degrees]; the boundary is turned back by as much.
        inset: how far holes keep clear of the edge [mm].
    """
    corners = []
    for corner in board.outline.corners:
        dx, dy = rotate((corner.x - x, corner.y - y), -angle)
        corners.append(corner.model_copy(update={"x": round(dx, 9) + 0.0, "y": round(dy, 9) + 0.0}))
    x0, y0, x1, y1 = outline_of(board.outline.corners).bounds
    return BoundaryEntry(shape="outline", width=x1 - x0, height=y1 - y0, corners=tuple(corners), inset=inset)


def follows(entry: PatternEntry) -> bool:
    """Whether a pattern lies in the outline of whatever board it is on."""
    return entry.boundary.shape == "board"


def entry_on(entry: PatternEntry, board: BoardEntry, x: float, y: float, angle: float) -> PatternEntry:
    """A pattern as it is at a place of a board [mm, degrees]: one that follows it has its outline there."""
    if not follows(entry):
        return entry
    return entry.model_copy(update={"boundary": board_boundary(board, x, y, angle, entry.boundary.inset)})


def pattern_on(entry: PatternEntry, board: BoardEntry, at: PlacementEntry) -> Pattern:
    """The frozen pattern at a placement.

    Raises:
        ModelError: its holes run into each other, or slots are shorter than wide.
        GeometryError: its boundary cannot exist, or there are far more holes than anybody drills.
    """
    return pattern_of(entry_on(entry, board, at.x, at.y, at.angle), follows(entry))


def patterns_on(design: Design, entry: PatternEntry) -> Iterator[Pattern]:
    """What a pattern is wherever it is placed, each place once that several arrangements share."""
    seen = set[tuple[str, float, float, float]]()
    for board in design.boards:
        for at in (p for a in board.arrangements for p in a.placements if p.part == entry.id):
            place = (board.id, at.x, at.y, at.angle)
            if place not in seen:
                seen.add(place)
                yield pattern_on(entry, board, at)


def shown_of(design: Design, entry: PatternEntry) -> PatternEntry:
    """A pattern as it is where it is placed first; in a rectangle of its size where it is nowhere."""
    if follows(entry):
        for board in design.boards:
            for arrangement in board.arrangements:
                for at in arrangement.placements:
                    if at.part == entry.id:
                        return entry_on(entry, board, at.x, at.y, at.angle)
    return entry
