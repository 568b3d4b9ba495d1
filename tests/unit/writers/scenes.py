"""Scenes for a writer to write."""

from __future__ import annotations

from app.scene.primitives import Item, Scene, Style

INK = Style(role="outline")


def scene(
    *items: Item,
    size: tuple[float, float] = (210.0, 297.0),
    corner: tuple[float, float] = (0.0, 0.0),
    title: str = "",
    note: str = "",
) -> Scene:
    """The items on a page of a size whose lower left corner is at ``corner`` [mm]."""
    (x, y), (width, height) = corner, size
    return Scene(x, y, x + width, y + height, items, title, note)
