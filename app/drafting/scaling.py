"""Items enlarged about the origin; widths of lines stay as they are."""

from __future__ import annotations

from collections.abc import Iterable

from app.scene.primitives import Item
from app.scene.similarity import Similarity


def scaled(items: Iterable[Item], k: float) -> tuple[Item, ...]:
    """Every item ``k`` times as large about (0, 0), letters too; ``k`` is above 0."""
    return Similarity(lambda p: (k * p[0], k * p[1]), size=k).items(items)
