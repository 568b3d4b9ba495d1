"""Where hardware stands in a drawing that shows the board from its side."""

from __future__ import annotations

from msgspec import Struct

from app.drafting.facing import Facing
from app.geometry.shapes import Shape
from app.model.resolved import Placed
from app.shop.screw_pilots import seat_depth


def depth_below(placed: Placed, thickness: float) -> float:
    """How far a part reaches below the underside of a board, as it is seated [mm]."""
    depth = placed.part.depth_below(thickness)
    return max(0.0, depth - seat_depth(placed)) if placed.part.mount == "under" else depth


def pockets(placed: Placed, frame: SideFrame) -> list[tuple[tuple[float, float], float]]:
    """Left and right end in the drawing, and depth, of what is cut from the underside about a part [mm]."""
    found = []
    if placed.pocket is not None and placed.recess is not None:
        found.append((frame.span(placed.pocket), placed.recess.depth))
    if placed.bore is not None and placed.counterbore is not None:
        found.append((frame.span(placed.bore), placed.counterbore.depth))
    return found


class SideFrame(Struct, frozen=True):
    """Where a board seen from its side stands in the drawing.

    Args:
        view: left and right as on the face above it.
        base: height of the top face in the drawing [mm].
        thickness: of the board [mm].
        fine: whether threads and facets are drawn: for an enlarged drawing.
    """

    view: Facing
    base: float
    thickness: float
    fine: bool = False

    def span(self, shape: Shape) -> tuple[float, float]:
        """Left and right end of a shape in the drawing [mm]."""
        x0, _, x1, _ = self.view.shape(shape).bounds
        return x0, x1

    def seat(self, placed: Placed) -> float:
        """Height in the drawing of what the nut, the clips or the plate from below bear against [mm]."""
        return self.base - self.thickness + seat_depth(placed)
