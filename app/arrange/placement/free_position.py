"""A place for a part: beside another, clear of its neighbours as far as circles round them tell."""

from __future__ import annotations

import math
from collections.abc import Mapping

from app.document.outlines import outline_of
from app.document.schema import ArrangementEntry, BoardEntry, PlacementEntry
from app.geometry.shapes import Point, Shape
from app.model.part import Part, ScrewFixing

_WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))
APART = 6.0
"""Between neighbours [mm]: what a finger can tell apart, and room for a spanner's wall."""


def reach_of(part: Part) -> float:
    """Radius of the circle about the part's origin that holds all of it, above and below [mm]."""
    shapes: list[Shape] = [c.shape for c in part.cutouts] + [part.body.shape]
    if part.flange:
        shapes.append(part.flange.shape)
    if isinstance(part.fixing, ScrewFixing) and part.fixing.plate:
        shapes.append(part.fixing.plate)
    return max(math.hypot(*shape.centre) + shape.reach for shape in shapes)


def beside(
    board: BoardEntry, arrangement: ArrangementEntry, placement: PlacementEntry, parts: Mapping[str, Part]
) -> Point:
    """A free place for a second ``placement``: right of it, else left, behind or in front, a part's width away.

    Where nothing is free it is the place to the right, or to the left if that is off the board: the part is
    seen there and can be dragged.
    """
    radius = radius_of(placement, parts)
    step = 2 * radius + APART
    at = (placement.x, placement.y)
    ways = [(at[0] + n * dx * step, at[1] + n * dy * step) for n in (1, 2, 3) for dx, dy in _WAYS]
    inside = [position for position in ways if is_inside(board, position, radius)]
    others = [(p.x, p.y, radius_of(p, parts)) for p in arrangement.placements]
    for position in inside:
        if all(math.dist(position, (x, y)) >= radius + r for x, y, r in others):
            return position
    return inside[0] if inside else ways[0]


def radius_of(placement: PlacementEntry, parts: Mapping[str, Part]) -> float:
    """Radius of the circle about a placement that holds all of its part; 0 for a part nobody knows [mm]."""
    part = parts.get(placement.part)
    return reach_of(part) if part else 0.0


def is_inside(board: BoardEntry, position: Point, radius: float) -> bool:
    """Whether a circle lies within the upright rectangle round the board [mm]."""
    x0, y0, x1, y1 = outline_of(board.outline.corners).bounds
    return x0 + radius <= position[0] <= x1 - radius and y0 + radius <= position[1] <= y1 - radius
