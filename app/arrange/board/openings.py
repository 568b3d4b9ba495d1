"""Inner openings of a board: added, placed, sized, set back, removed."""

from __future__ import annotations

from app.arrange.board.rings import Ring, box_of, found_ring, replaced, rings_of, with_rings
from app.arrange.board.size import ring_sized
from app.arrange.change import Edit, number, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError, GeometryError, NotFoundError
from app.geometry.outline import Corner
from app.model.limits import OPENINGS
from app.units import LONGEST
from app.values import replace

_SAME = 1e-6  # mm


def add_opening(
    design: Design,
    board_id: str | None,
    box: tuple[float, float, float, float],
    catalogue: Catalogue,
    setback: float = 0.0,
) -> Edit:
    """Cut a rectangular opening; set back by half its side on each corner it is round, or a slot.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        box: its front-left corner from the datum edges, its width and its height [mm].
        catalogue: for the largest board.
        setback: set-back of its corners, alike before and after [mm].

    Raises:
        NotFoundError: no such board.
        EditError: a number is not allowed, or it would not be inside the board.
    """
    rings = rings_of(find_board(design, board_id))
    if len(rings) > OPENINGS.most:
        raise EditError(f"A board has up to {OPENINGS.most} openings, and this one is full. Delete one.", "form")
    x, y, width, height = _box(box)
    corners = (Corner(x, y), Corner(x + width, y), Corner(x + width, y + height), Corner(x, y + height))
    ring = _set_back(corners, setback, min(width, height) / 2)
    after = with_rings(design, board_id, (*rings, ring), catalogue, "x")
    return Edit(after, f"Cut an opening of {shown(width, design.units)} × {shown(height, design.units)}")


def set_opening(
    design: Design,
    board_id: str | None,
    opening: int,
    catalogue: Catalogue,
    *,
    x: float | None = None,
    y: float | None = None,
    width: float | None = None,
    height: float | None = None,
    setback: float | None = None,
) -> Edit:
    """Place and size an opening and set its corners back; None leaves a value exactly as it is.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        opening: from 1.
        catalogue: for the largest board.
        x: its left side from the left edge [mm].
        y: its front side from the front edge [mm].
        width: of the rectangle round it [mm]; corners beyond its middle move.
        height: of the rectangle round it, front to back [mm].
        setback: set-back of every corner of it, alike before and after [mm].

    Raises:
        NotFoundError: no such board or opening.
        EditError: a number is not allowed, or it would not be inside the board.
    """
    rings = rings_of(find_board(design, board_id))
    ring = _found(rings, opening)
    x0, y0, x1, y1 = box_of(ring)
    asked = {"x": x, "y": y, "width": width, "height": height, "setback": setback}
    new = (x0 if x is None else x, y0 if y is None else y)
    size = (x1 - x0 if width is None else width, y1 - y0 if height is None else height)
    _box((*new, *size))
    if max(abs(size[0] - (x1 - x0)), abs(size[1] - (y1 - y0))) > _SAME:
        ring = _sized(ring, size, "height" if width is None else "width")
    x0, y0, _, _ = box_of(ring)
    ring = tuple(replace(c, x=c.x + new[0] - x0, y=c.y + new[1] - y0) for c in ring)
    if setback is not None:
        ring = _set_back(ring, setback, min(size) / 2)
    said = _words(design.units, opening, asked, ring)
    field = next((name for name, value in asked.items() if value is not None), "form")
    return Edit(with_rings(design, board_id, replaced(rings, opening, ring), catalogue, field), said)


def move_opening(
    design: Design, board_id: str | None, opening: int, dx: float, dy: float, catalogue: Catalogue
) -> Edit:
    """Move an opening whole by ``(dx, dy)`` [mm].

    Raises:
        NotFoundError: no such board or opening.
        EditError: it would not be inside the board.
    """
    x0, y0, _, _ = box_of(_found(rings_of(find_board(design, board_id)), opening))
    return set_opening(design, board_id, opening, catalogue, x=x0 + dx, y=y0 + dy)


def remove_opening(design: Design, board_id: str | None, opening: int, catalogue: Catalogue) -> Edit:
    """Close an opening.

    Raises:
        NotFoundError: no such board or opening.
    """
    rings = rings_of(find_board(design, board_id))
    _found(rings, opening)
    after = with_rings(design, board_id, (*rings[:opening], *rings[opening + 1 :]), catalogue)
    return Edit(after, f"Deleted opening {opening}")


def _found(rings: tuple[Ring, ...], opening: int) -> Ring:
    if opening < 1:
        raise NotFoundError("Openings count from 1. Choose one on the page.")
    return found_ring(rings, opening)


def _box(box: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    return (
        number(box[0], "The opening’s distance from the left edge", "x"),
        number(box[1], "The opening’s distance from the front edge", "y"),
        number(box[2], "The opening’s width in mm", "width", 0, LONGEST, above=True),
        number(box[3], "The opening’s height in mm", "height", 0, LONGEST, above=True),
    )


def _sized(ring: Ring, size: tuple[float, float], field: str) -> Ring:
    try:
        return ring_sized(ring, size)
    except GeometryError as error:
        raise EditError(f"That opening is not possible. {error}", field) from None


def _set_back(ring: Ring, setback: float, most: float) -> Ring:
    number(setback, "The set-back of the opening’s corners in mm", "setback", 0, most)
    return tuple(replace(corner, setback=(setback, setback) if setback else None) for corner in ring)


def _words(units: str, opening: int, asked: dict[str, float | None], ring: Ring) -> str:
    x0, y0, x1, y1 = box_of(ring)
    said = []
    if asked["x"] is not None or asked["y"] is not None:
        said.append(f"Moved opening {opening} to {shown(x0, units)}, {shown(y0, units)}")
    if asked["width"] is not None or asked["height"] is not None:
        said.append(f"Made opening {opening} {shown(x1 - x0, units)} × {shown(y1 - y0, units)}")
    if asked["setback"] is not None:
        back = shown(asked["setback"], units)
        corners = f"the corners of opening {opening}"
        said.append(f"Set {corners} back by {back}" if asked["setback"] else f"Made {corners} sharp")
    return "; ".join(said) or f"Left opening {opening} as it was"
