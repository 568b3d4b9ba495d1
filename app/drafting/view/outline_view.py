"""An outline from a file over the board as it is: what will be, and what was."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.facing import facing
from app.drafting.forms import outline_path, shape_item
from app.drafting.view.board_view import view_scale
from app.drafting.view.plan import blank
from app.drafting.words import exact, unit_of
from app.geometry.outline import Corner, Outline
from app.model.resolved import ResolvedBoard
from app.scene.palette import HOLE_OPEN, LIGHT, TEXT, WHITE
from app.scene.primitives import Item, Scene, Style, Text

_UNDER = Style(stroke=WHITE, width=3.4, opacity=0.8, role="outline-under")
"""Under the new lines, so that they show on the board and beside it."""

_NEW = Style(stroke=LIGHT["teal-deep"], width=1.4, role="outline-new")


def outline_view(board: ResolvedBoard, corners: Sequence[Corner], openings: Sequence[Sequence[Corner]]) -> Scene:
    """The present board with its holes, and over it the new rim and openings, with its size.

    Raises:
        GeometryError: it is no outline.
    """
    new = Outline(tuple(corners))
    view, scale = facing(board, "top"), view_scale(board)
    items: list[Item] = list(blank(board, view, scale))
    items += [shape_item(hole.shape, HOLE_OPEN) for placed in board.drilled for hole in placed.holes]
    drawn = [new, *(Outline(tuple(opening)) for opening in openings)]
    items += [outline_path(outline, style) for style in (_UNDER, _NEW) for outline in drawn]
    a, b = board.outline.bounds, new.bounds
    x0, y0, x1, y1 = min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])
    edge = 0.05 * max(x1 - x0, y1 - y0)
    unit = unit_of(board)
    size = f"{exact(b[2] - b[0], unit)} × {exact(b[3] - b[1], unit)}"
    words = Text((x0, y0 - 0.8 * edge), f"new outline {size}", 0.5 * edge, TEXT, bold=True)
    return Scene(x0 - edge, y0 - 1.4 * edge, x1 + edge, y1 + edge, (*items, words), title=f"New outline, {size}")
