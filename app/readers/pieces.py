"""Pieces of a drawn line in the units of a file: straight ones and circular bends."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from app.geometry.shapes import Point


class StraightPiece(Struct, frozen=True):
    """A straight piece from ``a`` to ``b``."""

    a: Point
    b: Point

    def turned(self) -> StraightPiece:
        """The piece the other way."""
        return StraightPiece(self.b, self.a)


class Bend(Struct, frozen=True):
    """A circular piece from ``a`` to ``b`` about ``centre``; ``sweep`` in degrees, anticlockwise positive.

    A full turn has ``a`` equal to ``b``.
    """

    a: Point
    b: Point
    centre: Point
    sweep: float

    def turned(self) -> Bend:
        """The piece the other way."""
        return Bend(self.b, self.a, self.centre, -self.sweep)

    @property
    def radius(self) -> float:
        """Distance from the centre."""
        return math.dist(self.a, self.centre)

    def at(self, share: float) -> Point:
        """The point at a share of the sweep from ``a``."""
        angle = math.radians(self.sweep * share)
        x, y = self.a[0] - self.centre[0], self.a[1] - self.centre[1]
        c, s = math.cos(angle), math.sin(angle)
        return (self.centre[0] + x * c - y * s, self.centre[1] + x * s + y * c)


Piece = StraightPiece | Bend
Ring = tuple[Piece, ...]
"""Pieces end to end, back to where they began."""


def bend(centre: Point, radius: float, start: float, sweep: float) -> Bend:
    """The piece of a circle from the angle ``start`` over ``sweep`` [degrees]."""
    whole = Bend((centre[0] + radius, centre[1]), (0.0, 0.0), centre, start)
    a = whole.at(1.0)
    turned = Bend(a, a, centre, sweep)
    return turned if abs(sweep) >= 360.0 else Bend(a, turned.at(1.0), centre, sweep)


def bulged(a: Point, b: Point, bulge: float) -> Piece:
    """The piece from ``a`` to ``b`` with a bulge, the tangent of a quarter of its sweep (the DXF reference)."""
    sweep = 4 * math.degrees(math.atan(bulge))
    if abs(sweep) < 1e-9:
        return StraightPiece(a, b)
    # The centre lies on the bisector of the chord, half the chord over tan(sweep / 2) to its left.
    dx, dy = b[0] - a[0], b[1] - a[1]
    off = 0.5 / math.tan(math.radians(sweep) / 2)
    return Bend(a, b, ((a[0] + b[0]) / 2 - dy * off, (a[1] + b[1]) / 2 + dx * off), sweep)


def box_of(ring: Ring) -> tuple[float, float, float, float]:
    """Smallest upright rectangle round a ring."""
    points = [p for piece in ring for p in (piece.a, piece.b)]
    points += [p for piece in ring if isinstance(piece, Bend) for p in _utmost(piece)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _utmost(bend: Bend) -> list[Point]:
    """The points of a bend that are straight left, right, above or below its centre."""
    (cx, cy), r = bend.centre, bend.radius
    start = math.degrees(math.atan2(bend.a[1] - cy, bend.a[0] - cx))
    ways = ((0.0, (cx + r, cy)), (90.0, (cx, cy + r)), (180.0, (cx - r, cy)), (270.0, (cx, cy - r)))
    return [p for angle, p in ways if (angle - start) * math.copysign(1.0, bend.sweep) % 360.0 <= abs(bend.sweep)]


def chords(piece: Piece, step: float) -> list[Point]:
    """Points of a piece from its start, without its end, no more than ``step`` degrees apart."""
    if isinstance(piece, StraightPiece):
        return [piece.a]
    count = max(1, math.ceil(abs(piece.sweep) / step))
    return [piece.at(k / count) for k in range(count)]


def area_of(ring: Ring) -> float:
    """Area inside a ring, anticlockwise positive: chords, and the segments between bends and their chords."""
    total = 0.0
    for piece in ring:
        total += (piece.a[0] * piece.b[1] - piece.b[0] * piece.a[1]) / 2
        if isinstance(piece, Bend):
            turn = math.radians(piece.sweep)
            total += piece.radius**2 * (turn - math.sin(turn)) / 2
    return total


def within(rim: Ring) -> Callable[[Ring], bool]:
    """Tells of rings whether they lie in the rim's box and begin inside the rim."""
    b = box_of(rim)
    points = [p for piece in rim for p in chords(piece, 2.0)]
    edges = list(zip(points, points[1:] + points[:1], strict=True))

    def inside(ring: Ring) -> bool:
        a = box_of(ring)
        if a[0] < b[0] or a[1] < b[1] or a[2] > b[2] or a[3] > b[3]:
            return False
        x, y = ring[0].a
        crossed = sum(
            (p[1] > y) != (q[1] > y) and x < p[0] + (y - p[1]) / (q[1] - p[1]) * (q[0] - p[0]) for p, q in edges
        )
        return crossed % 2 == 1

    return inside


def is_circle(ring: Ring) -> bool:
    """Whether every piece bends about one centre at one radius."""
    bends = [piece for piece in ring if isinstance(piece, Bend)]
    if len(bends) < len(ring):
        return False
    first, size = bends[0], 1e-6 * max(bends[0].radius, 1e-12)
    return all(math.dist(b.centre, first.centre) < size and abs(b.radius - first.radius) < size for b in bends)
