"""Rulers along the front-to-back and left-to-right datum edges, in display units."""

from __future__ import annotations

from app.drafting.facing import Facing
from app.model.resolved import ResolvedBoard
from app.scene.metrics import CAP_HEIGHT
from app.scene.palette import RULER, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Text
from app.units import INCH, Unit

RULER_DEPTH = 30.0
"""Room a ruler takes beside the board at full scale: ticks, figures and a gap [mm]."""


def rulers(board: ResolvedBoard, unit: Unit, *, facing: Facing, scale: float = 1.0) -> Group:
    """Rulers above and to the left of the board, both counting from the datum corner.

    Args:
        board: the board.
        unit: display unit: figures every 50 mm and ticks every 10, or every inch or two and every half.
        facing: on the underside the ruler counts from the right, where the left edge is.
        scale: size of figures and ticks against their size on a board 640 mm wide.
    """
    x0, y0, x1, y1 = board.outline.bounds
    minor, every = _steps(unit, scale)
    size, gap, tick = 6.4 * scale, 10.0 * scale, 8.0 * scale
    factor = INCH if unit is Unit.INCH else 1.0
    items: list[Item] = []
    for k in range(int((x1 - x0) / minor + 1e-9) + 1):
        x, long = facing.x(x0 + k * minor), k % every == 0
        items.append(Line((x, y1 + gap), (x, y1 + gap + (tick if long else 0.45 * tick)), RULER))
        if long:
            at = (x, y1 + gap + tick + 0.35 * size)
            items.append(Text(at, f"{k * minor / factor:g}", size, TEXT_MUTED, "middle"))
    for k in range(int((y1 - y0) / minor + 1e-9) + 1):
        y, long = y0 + k * minor, k % every == 0
        items.append(Line((x0 - gap, y), (x0 - gap - (tick if long else 0.45 * tick), y), RULER))
        if long:
            at = (x0 - gap - tick - 0.35 * size, y - CAP_HEIGHT * size / 2)
            items.append(Text(at, f"{k * minor / factor:g}", size, TEXT_MUTED, "end"))
    return Group(tuple(items), name="rulers", role="rulers")


def _steps(unit: Unit, scale: float) -> tuple[float, int]:
    """Distance between ticks [mm], and how many ticks from one figure to the next."""
    if unit is Unit.INCH:
        return (INCH / 2, 4) if scale < 1.6 else (INCH, 4)
    return (10.0, 5) if scale < 1.8 else (50.0, 2)
