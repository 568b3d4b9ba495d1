"""A pattern of holes at its place on the board, large: its boundary, every hole, and what is beside it."""

from __future__ import annotations

from typing import Final

from app.drafting.facing import facing
from app.drafting.forms import outline_path, shape_item
from app.drafting.hardware.part_letters import seen_shapes
from app.drafting.view.board_view import view_scale
from app.drafting.view.plan import blank
from app.geometry.outline import Outline
from app.model.pattern import Pattern
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import HOLE_OPEN, LIGHT, MUTED, STOP, WHITE
from app.scene.primitives import Item, Scene, Style

_BOUNDARY: Final = Style(stroke=LIGHT["teal-deep"], width=0.5, dash=(3.0, 2.0), role="boundary")
_UNDER: Final = Style(stroke=WHITE, width=1.2, opacity=0.7, role="boundary-under")
"""Under the boundary, so that it shows on the board and beside it."""

_BESIDE: Final = Style(stroke=MUTED, width=0.3, dash=(2.0, 1.2), role="beside")
_OFF: Final = Style(stroke=STOP, width=0.5, fill="#ffffff", role="hole-outside")
_ROOM: Final = 0.14
_SAME: Final = 1e-6


def pattern_view(board: ResolvedBoard, placed: Placed, pattern: Pattern, title: str) -> Scene:
    """The pattern and what of the board lies round it; holes that are not wholly on the board stand out.

    Args:
        board: the board, with the pattern on it.
        placed: the pattern at its place.
        pattern: what it is made of.
        title: names the drawing to a screen reader.
    """
    view, scale = facing(board, "top"), view_scale(board)
    rim = boundary_at(pattern, placed)
    x0, y0, x1, y1 = rim.bounds
    thin = max(x1 - x0, y1 - y0) / 160  # lines as thin on a large pattern as on a small one
    shapes = [hole.shape for hole in placed.holes]
    inside = board.boundary.inside_distances(shapes)[0] >= -_SAME
    others = [shape for other in board.drilled if other.id != placed.id for shape in seen_shapes(other)]
    items: list[Item] = [*blank(board, view, scale), *(shape_item(shape, _wide(_BESIDE, thin)) for shape in others)]
    items += [outline_path(rim, _wide(style, thin)) for style in (_UNDER, _BOUNDARY)]
    for shape, whole in zip(shapes, inside.tolist(), strict=True):
        items.append(shape_item(shape, HOLE_OPEN if whole else _wide(_OFF, thin)))
    edge = _ROOM * max(x1 - x0, y1 - y0)
    return Scene(x0 - edge, y0 - edge, x1 + edge, y1 + edge, tuple(items), title=title)


def boundary_at(pattern: Pattern, placed: Placed) -> Outline:
    """The boundary of a pattern where it is placed."""
    return pattern.boundary.mapped((placed.x, placed.y), turn=placed.angle)


def _wide(style: Style, by: float) -> Style:
    dash = tuple(by * length for length in style.dash)
    return Style(style.stroke, style.width * by, dash, style.fill, style.opacity, style.role)
