"""Rulers along the front-to-back and left-to-right datum edges, in display units."""

from __future__ import annotations

import math

from app.drafting.facing import Facing
from app.model.resolved import ResolvedBoard
from app.scene.metrics import CAP_HEIGHT
from app.scene.palette import RULER, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Point, Style, Text
from app.units import INCH, Unit

_TICK = 0.3  # width of a tick at full scale [mm]

RULER_DEPTH = 30.0
"""Room a ruler takes beside the board at full scale: ticks, figures and a gap [mm]."""


def rulers(board: ResolvedBoard, unit: Unit, *, facing: Facing, scale: float = 1.0) -> Group:
    """Rulers above and to the left of the board, both counting from the datum corner.

    Args:
        board: the board.
        unit: display unit: figures every 50 mm or more, or every two inches or more, with ticks between.
        facing: on the underside the ruler counts from the right, where the left edge is.
        scale: size of figures and ticks against their size on a board 640 mm wide.
    """
    x0, y0, x1, y1 = board.outline.bounds
    minor, every = _steps(unit, scale)
    size, gap, tick = 6.4 * scale, 10.0 * scale, 8.0 * scale
    factor = INCH if unit is Unit.INCH else 1.0
    items: list[Item] = []
    start, end = facing.x(x0), facing.x(x1)
    for pitch, deep in ((minor, 0.45 * tick), (minor * every, tick)):
        level = y1 + gap + deep / 2
        items.append(_ticks((start, level), (end, level), pitch, deep, scale))
        level = x0 - gap - deep / 2
        items.append(_ticks((level, y0), (level, y1), pitch, deep, scale))
    step = minor * every
    for k in range(int((x1 - x0) / step + 1e-9) + 1):
        at = (facing.x(x0 + k * step), y1 + gap + tick + 0.35 * size)
        items.append(Text(at, f"{k * step / factor:g}", size, TEXT_MUTED, "middle"))
    for k in range(int((y1 - y0) / step + 1e-9) + 1):
        at = (x0 - gap - tick - 0.35 * size, y0 + k * step - CAP_HEIGHT * size / 2)
        items.append(Text(at, f"{k * step / factor:g}", size, TEXT_MUTED, "end"))
    return Group(tuple(items), name="rulers", role="rulers")


def _ticks(a: Point, b: Point, pitch: float, deep: float, scale: float) -> Line:
    """All ticks of one kind as the dashes of a broad line: one element, the first tick's middle at ``a``.

    Dashes much shorter than a pixel are left out by a browser, so they grow with the drawing.
    """
    w = max(RULER.width, _TICK * scale)
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    style = Style(RULER.stroke, deep, (w, pitch - w), role=RULER.role)
    return Line((a[0] - ux * w / 2, a[1] - uy * w / 2), (b[0] + ux * w / 2, b[1] + uy * w / 2), style)


def _steps(unit: Unit, scale: float) -> tuple[float, int]:
    """Distance between ticks [mm], and how many ticks from one figure to the next."""
    if unit is Unit.INCH:
        return (INCH / 2, 4) if scale < 1.6 else (INCH, 4) if scale < 3.5 else (2 * INCH, 5)
    return (10.0, 5) if scale < 1.8 else (50.0, 2) if scale < 3.5 else (50.0, 4) if scale < 7.0 else (100.0, 5)
