"""What a board is made of besides its outline: edges, room below, areas to keep clear."""

from __future__ import annotations

from msgspec import Struct

from app.geometry.outline import EdgeName
from app.geometry.shapes import Shape
from app.model.part import Face


class EdgeFeature(Struct, frozen=True):
    """What is at one edge: depth of a moulding slot cut into it, width of a rail glued below it; 0 for none [mm]."""

    edge: EdgeName
    slot_depth: float = 0.0
    rail: float = 0.0


class DepthPlane(Struct, frozen=True):
    """Free depth below the underside as a plane: ``at_origin + slope_x·x + slope_y·y`` [mm]."""

    at_origin: float
    slope_x: float
    slope_y: float

    def at(self, x: float, y: float) -> float:
        """Free depth below ``(x, y)`` [mm]."""
        return self.at_origin + self.slope_x * x + self.slope_y * y


class KeepClear(Struct, frozen=True):
    """An area to keep clear on one face [mm], with the words that say why."""

    face: Face
    shape: Shape
    label: str
