"""Outlines of the design file as the model has them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from app.document.outline_schema import CornerEntry
from app.geometry.outline import Corner, Outline


def outline_of(corners: Iterable[CornerEntry]) -> Outline:
    """The frozen outline of a document's corners.

    Raises:
        GeometryError: the outline cannot exist.
    """
    return _outline(tuple(Corner(c.x, c.y, c.setback) for c in corners))


@lru_cache(maxsize=256)
def _outline(corners: tuple[Corner, ...]) -> Outline:
    """Kept, because a board is resolved again and again while parts are moved, and its rim is checked each time."""
    return Outline(corners)
