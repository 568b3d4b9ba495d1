"""Which face a drawing shows: the top face as it is, the underside as its mirror image."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from app.geometry.outline import Outline
from app.geometry.shapes import Shape
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Point


class Facing(Struct, frozen=True):
    """Maps a place on the board to its place in a drawing of one face.

    Args:
        face: the face shown.
        axis: x of the middle of the board, about which the underside is mirrored [mm].
    """

    face: Face
    axis: float

    @property
    def mirrored(self) -> bool:
        """Whether left and right are exchanged."""
        return self.face == "under"

    def x(self, x: float) -> float:
        """Abscissa in the drawing [mm]; the same map leads back."""
        return 2 * self.axis - x if self.mirrored else x

    def point(self, p: Point) -> Point:
        """Point in the drawing [mm]."""
        return (self.x(p[0]), p[1])

    def shape(self, shape: Shape) -> Shape:
        """Shape in the drawing."""
        return shape.mirrored(self.axis) if self.mirrored else shape

    def outline(self, outline: Outline) -> Outline:
        """Outline in the drawing."""
        return _mirrored(outline, self.axis) if self.mirrored else outline

    def angle(self, angle: float) -> float:
        """Turning in the drawing [degrees]."""
        return 180.0 - angle if self.mirrored else angle


@lru_cache(maxsize=64)
def _mirrored(outline: Outline, axis: float) -> Outline:
    return outline.mapped(mirror_x=axis)  # checks itself again, which takes longer than drawing it


def facing(board: ResolvedBoard, face: Face) -> Facing:
    """How ``face`` of ``board`` is drawn: x' = left edge + right edge − x on the underside."""
    x0, _, x1, _ = board.outline.bounds
    return Facing(face, (x0 + x1) / 2)
