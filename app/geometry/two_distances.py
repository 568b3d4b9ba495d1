"""A point from its distances to two known ones, and how sure it is when each distance may be a little wrong.

The two circles about the known points meet twice, once on either side of the line through them. How far the point may
be off follows from the four corners of what the distances may be: between them the region of possible points is bounded
by arcs of those circles, and a point of it that is farthest lies at a corner.
"""

from __future__ import annotations

import math
from itertools import product
from typing import Literal

from msgspec import Struct

from app.geometry.shapes import Point

_SAME = 1e-9  # mm


class Crossing(Struct, frozen=True):
    """A point that is as far from two others as was measured.

    Args:
        point: where it is [mm].
        other: the point on the other side of their line that is as far from both [mm].
        within: how far it may be from there if each distance is off by the error it was asked with [mm]; infinite
            where the distances, each off by that, would not meet at all.
    """

    point: Point
    other: Point
    within: float


class NoCrossing(Struct, frozen=True):
    """Why there is none.

    Args:
        why: the two known points are the ``same``; the distances are too ``short`` to reach each other; one is so
            ``long`` that it reaches round the other.
        by: how much is missing, or too much [mm].
    """

    why: Literal["same", "short", "long"]
    by: float


def crossing(
    first: Point, second: Point, distances: tuple[float, float], near: Point, error: float
) -> Crossing | NoCrossing:
    """The point on the side of ``near`` that is so far from two others.

    Args:
        first: a known point [mm].
        second: the other known point [mm].
        distances: from the first and from the second [mm].
        near: about where it should be; of the two points that are so far from both the nearer one to it is meant [mm].
        error: how much either distance may be off [mm].
    """
    base = math.dist(first, second)
    if base <= _SAME:
        return NoCrossing("same", 0.0)
    one, other = distances
    if one + other < base - _SAME:
        return NoCrossing("short", base - one - other)
    if abs(one - other) > base + _SAME:
        return NoCrossing("long", abs(one - other) - base)
    side = 1.0 if _height(first, second, near) >= 0 else -1.0
    found = _meeting(first, second, distances, side)
    across = _meeting(first, second, distances, -side)
    if found is None or across is None:  # they only touch, and rounding parts them
        return NoCrossing("short", 0.0)
    corners = [
        _meeting(first, second, (max(0.0, one + a), max(0.0, other + b)), side)
        for a, b in product((-error, error), repeat=2)
    ]
    within = max((math.inf if c is None else math.dist(found, c) for c in corners), default=0.0)
    return Crossing(found, across, within)


def _height(first: Point, second: Point, point: Point) -> float:
    """How far a point lies to the left of the way from the first to the second [mm]."""
    base = math.dist(first, second)
    dx, dy = (second[0] - first[0]) / base, (second[1] - first[1]) / base
    return dx * (point[1] - first[1]) - dy * (point[0] - first[0])


def _meeting(first: Point, second: Point, distances: tuple[float, float], side: float) -> Point | None:
    """Where the circles meet on one side of the line; None where they do not."""
    base = math.dist(first, second)
    one, other = distances
    if one + other < base - _SAME or abs(one - other) > base + _SAME:
        return None
    along = (one * one - other * other + base * base) / (2 * base)
    height = side * math.sqrt(max(0.0, (one - along) * (one + along)))
    dx, dy = (second[0] - first[0]) / base, (second[1] - first[1]) / base
    return (first[0] + along * dx - height * dy, first[1] + along * dy + height * dx)
