"""The size of a board, and of a ring: what lies beyond its middle moves, so that slopes and easings stay."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from app.arrange.board_rings import Ring, box_of, replaced, rings_of, with_rings
from app.arrange.change import Edit, number, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError
from app.geometry.outline import Corner, Outline

_SAME: Final = 1e-6  # mm: nearer to the middle than this is in it
_HALVINGS: Final = 24


def set_size(
    design: Design, board_id: str | None, catalogue: Catalogue, width: float | None = None, depth: float | None = None
) -> Edit:
    """Make a board as wide and deep as asked [mm]; None leaves a size exactly as it is.

    The far corners move; the datum corner, the parts, openings and areas to keep clear stay where they are.

    Raises:
        NotFoundError: no such board.
        EditError: the size is out of range, or no board of this shape can be so small; says how small it can be.
    """
    board = find_board(design, board_id)
    least, most = catalogue.rule("outline-smallest"), catalogue.rule("outline-largest")
    said: list[str] = []
    after = design
    for axis, name, value, word in ((0, "width", width, "wide"), (1, "depth", depth, "deep")):
        if value is None:
            continue
        number(value, f"The board’s {name} in mm", name, least, most)
        rings = rings_of(find_board(after, board_id))
        bounds = Outline(rings[0]).bounds
        if abs(value - (bounds[axis + 2] - bounds[axis])) < _SAME:
            continue
        after = _sized(after, board_id, axis, value, catalogue)
        said.append(f"{shown(value, design.units)} {word}")
    name = "board" if board.role == "deck" else board.name or board.id
    return Edit(after, f"Made the {name} {' and '.join(said)}" if said else "Left the board as it was")


def stretched(ring: Ring, axis: int, by: float) -> Ring:
    """A ring with the corners beyond its middle moved by ``by`` mm along x (``axis`` 0) or y (1), those in it half."""
    box = box_of(ring)
    middle = (box[axis] + box[axis + 2]) / 2

    def moved(corner: Corner) -> Corner:
        at = (corner.x, corner.y)[axis]
        step = by / 2 if abs(at - middle) < _SAME else by if at > middle else 0.0
        return replace(corner, x=corner.x + step) if axis == 0 else replace(corner, y=corner.y + step)

    return tuple(moved(corner) for corner in ring)


def _sized(design: Design, board_id: str | None, axis: int, value: float, catalogue: Catalogue) -> Design:
    rings = rings_of(find_board(design, board_id))
    bounds = Outline(rings[0]).bounds
    now = bounds[axis + 2] - bounds[axis]
    field = ("width", "depth")[axis]

    def to(size: float) -> Design:
        rim = stretched(rings[0], axis, size - now)
        return with_rings(design, board_id, replaced(rings, 0, rim), catalogue, field)

    try:
        return to(value)
    except EditError as error:
        if value > now:
            raise
        least = shown(_least(to, value, now, design.units), design.units)
        way = "Change its corners, openings or easings first to go below that"
        word = ("wide", "deep")[axis]
        raise EditError(
            f"The board cannot be {shown(value, design.units)} {word}: {_lower(str(error))} "
            f"With its corners and openings as they are it can be {least}. {way}.",
            field,
        ) from None


def _least(to: Callable[[float], Design], bad: float, good: float, units: str) -> float:
    """The smallest size that can be, by halving, in whole mm or sixteenths of an inch."""
    for _ in range(_HALVINGS):
        middle = (bad + good) / 2
        try:
            to(middle)
            good = middle
        except EditError:
            bad = middle
    step = 25.4 / 16 if units == "inch" else 1.0
    return math.ceil(good / step - _SAME) * step


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
