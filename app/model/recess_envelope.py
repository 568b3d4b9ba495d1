"""What lies in a recess, how large the recess must be for it, and how high a lever stands because of it.

Lever ``L`` above the face of its plate that touches the board, board ``t``, recess ``r``, film of paint ``p`` on
each face: a stick below the board stands ``L − (t − r) − 2·p`` above the top face, one on top ``L``.
"""

from __future__ import annotations

import math

from msgspec import Struct

from app.geometry.shapes import Shape
from app.model.part import NutFixing, Part, ScrewFixing, SnapFixing
from app.model.resolved import Recess

_HALF_ROOT = 1 / math.sqrt(2)
_TINY = 1e-6  # mm: a side that close to a step is on it


class RecessEnvelope(Struct, frozen=True):
    """What has to go into a recess: a rectangle about the part's origin, its corners rounded [mm].

    Args:
        width, height: sides along the part's own axes.
        corner: radius of its corners.
    """

    width: float
    height: float
    corner: float

    def clearance(self, recess: Recess) -> float:
        """Least room between it and the walls of a recess [mm]; negative where it does not go in."""
        across, along = (recess.width - self.width) / 2, (recess.height - self.height) / 2
        dx = recess.corner - self.corner - across
        dy = recess.corner - self.corner - along
        sides = min(across, along)
        if dx <= 0 or dy <= 0:
            return sides
        return min(sides, recess.corner - self.corner - math.hypot(dx, dy))

    def pocket(self, gap: float, corner: float, depth: float, step: float) -> Recess:
        """The smallest recess with that gap all round and inside corners of that radius, its sides rounded up [mm].

        Where its corners are rounder than the part's, its sides lie further out, so that the corners fit too.
        """
        excess = corner - self.corner
        out = max(gap, excess - (excess - gap) * _HALF_ROOT if excess > gap else gap)

        def up(side: float) -> float:
            return math.ceil((side - _TINY) / step) * step

        width, height = (up(side + 2 * out) for side in (self.width, self.height))
        return Recess(max(width, 2 * corner), max(height, 2 * corner), corner, depth)


def recess_envelope_of(part: Part, spanner_room: float, clip_room: float) -> RecessEnvelope:
    """What a part needs at the floor of a recess: plate and body, its nut with room to turn it, or its clips."""
    fixing = part.fixing
    shapes: list[Shape] = [part.body.shape]
    if isinstance(fixing, ScrewFixing) and fixing.plate:
        shapes.append(fixing.plate)
    if isinstance(fixing, NutFixing):
        shapes.append(Shape(((0.0, 0.0),), fixing.nut_width / 2 + spanner_room))
    if isinstance(fixing, SnapFixing):
        shapes = [shape.grown(clip_room) for shape in (*shapes, *(c.shape for c in part.cutouts[:1]))]
    bounds = [shape.bounds for shape in shapes]
    width = 2 * max(max(-b[0], b[2]) for b in bounds)
    height = 2 * max(max(-b[1], b[3]) for b in bounds)
    corner = min(*(shape.radius for shape in shapes), width / 2, height / 2)
    return RecessEnvelope(width, height, corner)


def lever_height(part: Part, thickness: float, recess: float, paint: float) -> float | None:
    """How far the lever stands above the top face [mm]; None for a part without one."""
    if part.lever is None:
        return None
    sunk = thickness - recess + 2 * paint if part.mount == "under" else 0.0
    return part.lever.length - sunk


def knob_low(part: Part, thickness: float, recess: float, paint: float, lean: float) -> float:
    """The lowest place of a lever's knob above the top face, leaning ``lean`` degrees [mm]; infinite without one."""
    height = lever_height(part, thickness, recess, paint)
    if part.lever is None or height is None:
        return math.inf
    return height * math.cos(math.radians(lean)) - part.lever.knob


def throw_of(part: Part, lean: float) -> float:
    """How far a lever's knob moves to each side when it leans ``lean`` degrees [mm]; 0 without a lever."""
    return part.lever.length * math.sin(math.radians(lean)) if part.lever else 0.0
