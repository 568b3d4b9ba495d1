"""Outlines of boards that makers make."""

from __future__ import annotations

from app.geometry.outline import Corner


def ring_of(width: float, height: float) -> tuple[Corner, ...]:
    """A rectangle about its middle, anticlockwise [mm]."""
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(Corner(sx * width / 2, sy * height / 2) for sx, sy in signs)
