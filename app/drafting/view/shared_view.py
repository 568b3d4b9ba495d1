"""An arrangement beside another: the deck small, every letter on it, and a ring round the holes both have."""

from __future__ import annotations

from collections.abc import Collection

from app.drafting.hardware.part_letters import rim_radius
from app.drafting.view.board_view import thumbnail
from app.model.resolved import ResolvedBoard
from app.scene.palette import LIGHT, TEXT
from app.scene.primitives import Circle, Item, Scene, Style, Text

_RING = Style(stroke=LIGHT["teal-deep"], width=1.6, role="shared")
_ON_KNOB = Style(None, fill=LIGHT["hole"], role="letter")


def shared_view(board: ResolvedBoard, common: Collection[str]) -> Scene:
    """The deck with its letters; those of ``common`` (ids of placements) with a ring."""
    plain = thumbnail(board)
    size = 0.032 * plain.width
    items: list[Item] = list(plain.items)
    for placed in board.placements:
        if placed.id in common:
            items.append(Circle((placed.x, placed.y), rim_radius(placed) + 0.4 * size, _RING))
        if placed.label:
            style = _ON_KNOB if placed.part.lever is not None and placed.drill else TEXT
            items.append(Text((placed.x, placed.y - 0.36 * size), placed.label, size, style, "middle", bold=True))
    return Scene(plain.x0, plain.y0, plain.x1, plain.y1, tuple(items), title=plain.title)
