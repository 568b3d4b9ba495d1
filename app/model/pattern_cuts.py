"""Cut-outs of a pattern; and what of one that follows the outline of its board is cut when it is moved on it."""

from __future__ import annotations

from typing import Final

from app.errors import GeometryError
from app.geometry.shapes import Shape, rotate
from app.model.part import Cutout, Part
from app.model.pattern import Pattern
from app.values import replace

_NEAR: Final = 0.05
"""How much narrower or wider a bit may be than the holes wanted, as a share. Common practice, no source."""


def cutouts_of(pattern: Pattern) -> tuple[Cutout, ...]:
    """One cut-out for each hole, in the order of their numbers."""
    shape, width = pattern.shape, pattern.hole
    loose = _NEAR * width if shape.is_circle else 0.0
    return tuple(Cutout(shape.shifted(x, y), width - loose, width + loose) for x, y in pattern.holes.centres.tolist())


def moved_on_board(part: Part, angle: float, dx: float, dy: float) -> Part:
    """The part of a pattern that follows its board, as it is when its middle is moved on it and the board stays.

    Args:
        part: as it is; another than such a pattern stays the same, and so does one that would have no hole.
        angle: how it is turned there [degrees].
        dx: how far it is moved to the right [mm].
        dy: the same to the back [mm].
    """
    pattern = part.pattern
    if pattern is None or not pattern.follows:
        return part
    back = rotate((-dx, -dy), -angle)
    there = replace(pattern, boundary=pattern.boundary.mapped(back))
    try:
        cutouts = cutouts_of(there)
    except GeometryError:  # so far off that there is nothing to look at
        return part
    return replace(part, pattern=there, cutouts=cutouts) if cutouts else part


def made_alike(cutout: Cutout, like: Shape, at: tuple[float, float, float]) -> Shape:
    """What is cut for one hole of a pattern, as wide as what is cut for another of it.

    Args:
        cutout: the hole asked for.
        like: what is cut for the other.
        at: place and angle of the pattern [mm, degrees].
    """
    there = cutout.shape.placed(*at)
    return Shape(there.core, like.radius) if there.is_circle else there
