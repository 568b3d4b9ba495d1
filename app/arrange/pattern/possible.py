"""What a pattern may be: what can be drilled at all, every refusal beside its field."""

from __future__ import annotations

from app.arrange.change import shown
from app.document.outlines import outline_of
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import boundary_of, pattern_of
from app.document.schema import BoardEntry
from app.errors import EditError, GeometryError, ModelError
from app.geometry.shapes import rotate
from app.model.limits import PATTERN_HOLES


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


def possible(entry: PatternEntry, units: str, field: str = "pitch") -> int:
    """How many holes a pattern has.

    Args:
        entry: the pattern.
        units: display units, for messages.
        field: the form field that its pitch follows from.

    Raises:
        EditError: its holes run into each other, none fits or there are too many, or its boundary crosses itself.
    """
    hole, pitch = shown(entry.hole, units), shown(entry.pitch, units)
    if entry.pitch <= entry.hole:
        what = "Slots" if entry.order == "slots" else "Holes"
        said = f"{what} of {hole} run into each other at a pitch of {pitch}."
        raise EditError(f"{said} Widen the pitch, or make them smaller.", field)
    if entry.order == "slots" and entry.length < entry.hole:
        got = shown(entry.length, units)
        raise EditError(f"A slot is at least as long as wide, {hole}, got {got}. Make it longer.", "length")
    if entry.order == "rings" and 0 < entry.gap <= entry.hole:
        got = shown(entry.gap, units)
        raise EditError(f"Rings of holes of {hole} are farther apart than that, got {got}. Widen it.", "gap")
    try:
        boundary_of(entry.boundary)
    except GeometryError as error:
        raise EditError(str(error), "shape") from None
    try:
        many = len(pattern_of(entry).holes)
    except (ModelError, GeometryError) as error:
        raise EditError(str(error), field) from None
    if not many:
        raise EditError("No hole fits in. Make the holes smaller, or what they lie in larger.", "hole")
    if many > PATTERN_HOLES.most:
        raise EditError(PATTERN_HOLES.said(many), field)
    return many
