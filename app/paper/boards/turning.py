"""Items turned by a quarter, anticlockwise: what stood upright is then read from the right."""

from __future__ import annotations

from collections.abc import Iterable

from app.scene.primitives import Item, Point
from app.scene.similarity import Similarity


def quarter(p: Point) -> Point:
    """A place turned about (0, 0)."""
    return (-p[1], p[0])


def quartered(items: Iterable[Item]) -> tuple[Item, ...]:
    """Every item turned about (0, 0), words too."""
    return Similarity(quarter, turn=90.0).items(items)
