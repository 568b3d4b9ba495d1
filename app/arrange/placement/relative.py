"""A part placed by its distance from another part: by dx and dy, or by distance and direction.

Between the parts' centres [mm]; a direction of 0° is to the right, 90° to the back, anticlockwise.
"""

from __future__ import annotations

import math

from app.arrange.change import Edit, located, name_of, number, shown
from app.arrange.placement.edit import move
from app.arrange.placement.several import tidy
from app.document.schema import Design, PlacementEntry
from app.errors import EditError
from app.geometry.shapes import rotate
from app.units import LONGEST


def place_beside(
    design: Design, board: str | None, arrangement: str | None, placement: str, to: str, dx: float, dy: float
) -> Edit:
    """Place a part ``dx`` to the right and ``dy`` to the back of another [mm].

    Raises:
        EditError: it is locked, is the other part itself, or a number is not allowed.
    """
    held, other = _pair(design, board, arrangement, placement, to)
    dx, dy = number(dx, "The distance to the right", "dx"), number(dy, "The distance to the back", "dy")
    done = move(design, board, arrangement, placement, tidy(other.x + dx), tidy(other.y + dy))
    across = f"{shown(abs(dx), design.units)} {'right' if dx >= 0 else 'left'}"
    along = f"{shown(abs(dy), design.units)} {'back' if dy >= 0 else 'forward'}"
    return Edit(done.design, f"Placed {name_of(held)} {across} and {along} of {name_of(other)}", placement)


def place_away(
    design: Design, board: str | None, arrangement: str | None, placement: str, to: str, distance: float, angle: float
) -> Edit:
    """Place a part at a distance [mm] from another in a direction [degrees].

    Raises:
        EditError: it is locked, is the other part itself, or a number is not allowed.
    """
    held, other = _pair(design, board, arrangement, placement, to)
    distance = number(distance, "The distance", "distance", 0, LONGEST)
    angle = number(angle, "The direction", "direction", -360, 360)
    x, y = rotate((distance, 0.0), angle)
    done = move(design, board, arrangement, placement, tidy(other.x + x), tidy(other.y + y))
    said = f"Placed {name_of(held)} {shown(distance, design.units)} from {name_of(other)} at {round(angle, 2) + 0.0:g}°"
    return Edit(done.design, said, placement)


def offset(design: Design, board: str | None, arrangement: str | None, placement: str, to: str) -> tuple[float, float]:
    """How far a part is to the right and to the back of another [mm]."""
    held, other = _pair(design, board, arrangement, placement, to)
    return held.x - other.x, held.y - other.y


def bearing(held: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    """Distance [mm] and direction [degrees] of ``held`` as seen from ``other``."""
    dx, dy = held[0] - other[0], held[1] - other[1]
    return math.hypot(dx, dy), math.degrees(math.atan2(dy, dx))


def _pair(
    design: Design, board: str | None, arrangement: str | None, placement: str, to: str
) -> tuple[PlacementEntry, PlacementEntry]:
    _, _, held = located(design, board, arrangement, placement)
    if to == placement:
        raise EditError(f"{name_of(held)} cannot be placed from itself. Choose another part to measure from.", "to")
    _, _, other = located(design, board, arrangement, to)
    return held, other
