"""Boards that are round somewhere: outlines without a straight edge on one side or on all, for tests [mm]."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from app.geometry.outline import Corner, EdgeName

Ring = tuple[Corner, ...]
Setback = tuple[float, float] | None

RADIUS = 150.0
"""Of every circle."""


def upright(width: float, depth: float, *setbacks: Setback) -> Ring:
    """Four corners anticlockwise from the datum corner, each set back as told."""
    places = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    return tuple(Corner(x, y, setback) for (x, y), setback in zip(places, setbacks, strict=True))


def polygon_circle(sides: int, first: float) -> Ring:
    """A circle of that radius about (radius, radius) in a regular polygon, its first corner at an angle [degrees]."""
    half = math.pi / sides
    setback, far = RADIUS * math.tan(half), RADIUS / math.cos(half)
    setback -= 1e-12  # two set-backs must not be longer than their edge, as rounded
    angles = (math.radians(first) + 2 * half * k for k in range(sides))
    return tuple(Corner(RADIUS + far * math.cos(a), RADIUS + far * math.sin(a), (setback, setback)) for a in angles)


ROUND: Mapping[str, Ring] = MappingProxyType(
    {
        "circle": upright(2 * RADIUS, 2 * RADIUS, *[(RADIUS, RADIUS)] * 4),
        "circle in a diamond": polygon_circle(4, 0.0),
        "circle in an octagon": polygon_circle(8, 22.5),
        "ellipse": upright(400.0, 260.0, (130.0, 200.0), (200.0, 130.0), (130.0, 200.0), (200.0, 130.0)),
        "lying slot": upright(400.0, 200.0, *[(100.0, 100.0)] * 4),
        "upright slot": upright(200.0, 400.0, *[(100.0, 100.0)] * 4),
        "D, straight front": upright(400.0, 200.0, None, None, (200.0, 200.0), (200.0, 200.0)),
        "D, straight left": upright(200.0, 400.0, None, (200.0, 200.0), (200.0, 200.0), None),
        "egg": upright(320.0, 240.0, (100.0, 140.0), (180.0, 110.0), (130.0, 200.0), (120.0, 140.0)),
    }
)
"""Outlines by what they look like; each touches x = 0 and y = 0."""

STRAIGHT: Mapping[str, frozenset[EdgeName]] = MappingProxyType(
    {
        "circle": frozenset(),
        "circle in a diamond": frozenset(),
        "circle in an octagon": frozenset(),
        "ellipse": frozenset(),
        "lying slot": frozenset({"front", "back"}),
        "upright slot": frozenset({"left", "right"}),
        "D, straight front": frozenset({"front"}),
        "D, straight left": frozenset({"left"}),
        "egg": frozenset(),
    }
)
"""Which edges of each have a straight piece."""
