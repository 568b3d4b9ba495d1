"""Curves that are no circles as circular bends: pairs of arcs tangent to the curve, as many as it takes.

A biarc joins two points with given directions by two arcs that meet tangentially (Bolton 1975, "Biarc curves",
Computer-Aided Design 7). Of the family the one with equal distances to the join's tangent is taken.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from msgspec import Struct

from app.geometry.shapes import Point
from app.readers.pieces import Bend, Piece, StraightPiece

_DEEPEST: Final = 12
_SAMPLES: Final = 9


class Curve(Struct, frozen=True):
    """A smooth curve by its points and directions at parameters from 0 to 1."""

    at: Callable[[float], Point]
    along: Callable[[float], Point]


def cubic(p: Point, q: Point, r: Point, s: Point) -> Curve:
    """A cubic Bézier curve."""

    def at(t: float) -> Point:
        u = 1 - t
        w = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        return (
            w[0] * p[0] + w[1] * q[0] + w[2] * r[0] + w[3] * s[0],
            w[0] * p[1] + w[1] * q[1] + w[2] * r[1] + w[3] * s[1],
        )

    def along(t: float) -> Point:
        # Where the control points fall together the derivative is nothing; a chord nearby has the direction.
        u = 1 - t
        w = (u * u, 2 * u * t, t * t)
        x = w[0] * (q[0] - p[0]) + w[1] * (r[0] - q[0]) + w[2] * (s[0] - r[0])
        y = w[0] * (q[1] - p[1]) + w[1] * (r[1] - q[1]) + w[2] * (s[1] - r[1])
        if math.hypot(x, y) < 1e-12 * (1 + math.dist(p, s)):
            a, b = at(max(0.0, t - 1e-4)), at(min(1.0, t + 1e-4))
            return (b[0] - a[0], b[1] - a[1])
        return (x, y)

    return Curve(at, along)


def fitted(curve: Curve, within: float) -> tuple[list[Piece], float]:
    """The curve as bends no farther than ``within`` from it, and how far they are at most."""
    ends, middle = (curve.at(0.0), curve.at(1.0)), curve.at(0.5)
    if not all(math.isfinite(v) for p in (*ends, middle) for v in p):
        return [StraightPiece(ends[0], middle), StraightPiece(middle, ends[1])], 0.0  # refused by its numbers later
    return _fit(curve, 0.0, 1.0, within, _Work())


class _Work:
    """How many pairs of arcs may still be tried; a curve of any board takes a few dozen."""

    left = 4_000


def _fit(curve: Curve, t0: float, t1: float, within: float, work: _Work, deep: int = 0) -> tuple[list[Piece], float]:
    work.left -= 1
    pieces = _biarc(curve.at(t0), curve.along(t0), curve.at(t1), curve.along(t1))
    off = max(_off(curve.at(t0 + (t1 - t0) * k / (_SAMPLES + 1)), pieces) for k in range(1, _SAMPLES + 1))
    if off <= within or deep >= _DEEPEST or work.left <= 0:
        return pieces, off
    middle = (t0 + t1) / 2
    first, a = _fit(curve, t0, middle, within, work, deep + 1)
    second, b = _fit(curve, middle, t1, within, work, deep + 1)
    return [*first, *second], max(a, b)


def _biarc(a: Point, along_a: Point, b: Point, along_b: Point) -> list[Piece]:
    u, v = _unit(along_a), _unit(along_b)
    chord = (b[0] - a[0], b[1] - a[1])
    length = math.hypot(*chord)
    if length < 1e-12:
        return []
    flat = abs(_cross(u, chord)) < 1e-9 * length and abs(_cross(v, chord)) < 1e-9 * length
    if flat:
        return [StraightPiece(a, b)]
    # d with |b − a − d (u + v)|² = (2 d)²: a quadratic equation whose positive root is wanted.
    s = (u[0] + v[0], u[1] + v[1])
    k = 4 - (s[0] ** 2 + s[1] ** 2)
    m = chord[0] * s[0] + chord[1] * s[1]
    d = length**2 / (2 * m) if k < 1e-12 and m > 0 else (-m + math.sqrt(m * m + k * length**2)) / max(k, 1e-12)
    join = ((a[0] + b[0] + d * (u[0] - v[0])) / 2, (a[1] + b[1] + d * (u[1] - v[1])) / 2)
    second = _arc(b, (-v[0], -v[1]), join)
    return [_arc(a, u, join), second.turned()]


def _arc(a: Point, along: Point, b: Point) -> Piece:
    """The bend that leaves ``a`` in a direction and ends in ``b``."""
    chord = (b[0] - a[0], b[1] - a[1])
    turn = math.atan2(_cross(along, chord), along[0] * chord[0] + along[1] * chord[1])
    if abs(turn) < 1e-9:
        return StraightPiece(a, b)
    off = math.hypot(*chord) / (2 * math.sin(turn))
    centre = (a[0] - along[1] * off, a[1] + along[0] * off)
    return Bend(a, b, centre, math.degrees(2 * turn))


def _off(point: Point, pieces: list[Piece]) -> float:
    """Distance of a point from the nearest of a few pieces."""
    return min((_to(point, piece) for piece in pieces), default=math.inf)


def _to(point: Point, piece: Piece) -> float:
    ends = min(math.dist(point, piece.a), math.dist(point, piece.b))
    if isinstance(piece, StraightPiece):
        dx, dy = piece.b[0] - piece.a[0], piece.b[1] - piece.a[1]
        t = ((point[0] - piece.a[0]) * dx + (point[1] - piece.a[1]) * dy) / (dx * dx + dy * dy)
        return math.dist(point, (piece.a[0] + t * dx, piece.a[1] + t * dy)) if 0 <= t <= 1 else ends
    start = math.atan2(piece.a[1] - piece.centre[1], piece.a[0] - piece.centre[0])
    angle = math.atan2(point[1] - piece.centre[1], point[0] - piece.centre[0])
    turned = math.degrees(angle - start) * math.copysign(1.0, piece.sweep) % 360.0
    return abs(math.dist(point, piece.centre) - piece.radius) if turned <= abs(piece.sweep) else ends


def _unit(v: Point) -> Point:
    length = math.hypot(*v)
    return (v[0] / length, v[1] / length) if length > 0 else (0.0, 0.0)


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]
