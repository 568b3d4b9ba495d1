"""The pieces a boundary is made of: straight, circular, elliptic; how far each reaches, and each as points."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from app.geometry.shapes import Point

_TINY = 1e-9  # share of a turn nearer to an end than which the end itself is the outermost point
_AXES: tuple[Point, ...] = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))


class LinePiece(Struct, frozen=True):
    """A straight piece of a boundary from ``a`` to ``b`` [mm]."""

    a: Point
    b: Point


class ArcPiece(Struct, frozen=True):
    """A circular piece from ``a`` to ``b`` about ``centre``; ``sweep`` degrees, anticlockwise positive."""

    a: Point
    b: Point
    centre: Point
    radius: float
    sweep: float


class EllipsePiece(Struct, frozen=True):
    """An elliptic piece: the rational quadratic curve ``a``, ``control``, ``b`` with the middle ``weight``."""

    a: Point
    b: Point
    control: Point
    weight: float

    def at(self, t: float) -> Point:
        """The point at parameter ``t`` from 0 to 1 [mm]."""
        u, m, v = (1 - t) ** 2, 2 * t * (1 - t) * self.weight, t * t
        total = u + m + v
        return (
            (u * self.a[0] + m * self.control[0] + v * self.b[0]) / total,
            (u * self.a[1] + m * self.control[1] + v * self.b[1]) / total,
        )


Piece = LinePiece | ArcPiece | EllipsePiece


def flattened_piece(piece: Piece, sag: float) -> Iterator[Point]:
    """Points of a piece from its start, without its end."""
    yield piece.a
    if isinstance(piece, ArcPiece):
        step = 2 * math.acos(max(0.0, 1 - sag / piece.radius)) if piece.radius > sag else math.pi / 4
        n = max(2, math.ceil(math.radians(abs(piece.sweep)) / step))
        a0 = math.atan2(piece.a[1] - piece.centre[1], piece.a[0] - piece.centre[0])
        for k in range(1, n):
            angle = a0 + math.radians(piece.sweep) * k / n
            yield (piece.centre[0] + piece.radius * math.cos(angle), piece.centre[1] + piece.radius * math.sin(angle))
    elif isinstance(piece, EllipsePiece):
        # The sag of n equal parameter steps falls as 1/n²; the hull's height bounds that of one step.
        height = max(math.dist(piece.a, piece.control), math.dist(piece.control, piece.b))
        n = max(4, math.ceil(math.sqrt(height / sag)))
        yield from (piece.at(k / n) for k in range(1, n))


def piece_bounds(piece: Piece) -> tuple[float, float, float, float]:
    """Smallest upright rectangle (x0, y0, x1, y1) around a piece, exactly [mm]."""
    points = [piece.a, piece.b]
    if isinstance(piece, ArcPiece):
        points += _outermost_of_arc(piece)
    elif isinstance(piece, EllipsePiece):
        points += [piece.at(s / (1 + s)) for axis in (0, 1) for s in _turning(piece, axis)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def _outermost_of_arc(arc: ArcPiece) -> Iterator[Point]:
    """Points straight right, back, left and front of the centre that lie within the arc, its ends left out."""
    (cx, cy), half = arc.centre, math.radians(abs(arc.sweep)) / 2
    middle = math.atan2(arc.a[1] - cy, arc.a[0] - cx) + math.radians(arc.sweep) / 2
    for x, y in _AXES:
        if math.cos(math.atan2(y, x) - middle) > math.cos(half * (1 - _TINY)):
            yield (cx + arc.radius * x, cy + arc.radius * y)


def _turning(piece: EllipsePiece, axis: int) -> Iterator[float]:
    """Where a piece runs square to an axis: ``t / (1 - t)`` of the parameter t, its ends left out.

    Seen from the control point, the coordinate at s = t / (1 - t) is (a + s² b) / (1 + 2 w s + s²), which stands still
    where w b s² + (b - a) s - w a = 0.
    """
    a, b, w = piece.a[axis] - piece.control[axis], piece.b[axis] - piece.control[axis], piece.weight
    if b == 0.0:
        return
    root = math.sqrt((b - a) ** 2 + 4 * w * w * a * b) if (b - a) ** 2 + 4 * w * w * a * b > 0 else 0.0
    for sign in (-1.0, 1.0):
        s = (a - b + sign * root) / (2 * w * b)
        if _TINY < s < 1 / _TINY:
            yield s
