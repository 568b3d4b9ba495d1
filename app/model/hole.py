"""A cut-out at its place, as the shop makes it."""

from __future__ import annotations

from msgspec import Struct

from app.geometry.shapes import Point, Shape
from app.model.part import Cutout
from app.model.tooling import Bit


class Hole(Struct, frozen=True):
    """A cut-out at its place.

    Args:
        cutout: what the part asks for.
        shape: what will be cut, at its place on the board: a circle as wide as the bit that makes it [mm].
        bit: the shop's bit for it; None for another shape than a circle, or if no bit will do.
    """

    cutout: Cutout
    shape: Shape
    bit: Bit | None

    @property
    def centre(self) -> Point:
        """Where its centre is marked [mm]."""
        return self.shape.centre

    @property
    def is_circle(self) -> bool:
        """Whether a bit makes it."""
        return self.shape.is_circle

    @property
    def diameter(self) -> float:
        """Width that will be drilled [mm]; the smaller side of another shape than a circle."""
        return 2 * self.shape.radius if self.shape.is_circle else self.cutout.width
