"""What every reader turns a file's lines into: straight pieces, bows and Béziers, in mm with y up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.values import replace

Point = tuple[float, float]

_GAUSS: Final = tuple(((1 + s * math.sqrt(0.6)) / 2, w / 18) for s, w in ((-1, 5), (0, 8), (1, 5)))
"""Nodes and weights on 0 to 1 that integrate polynomials of degree 5 exactly (Gauss and Legendre)."""


class Straight(Struct, frozen=True):
    """A straight piece from ``a`` to ``b``."""

    a: Point
    b: Point

    @property
    def swept(self) -> float:
        """Area swept from the origin, half the integral of x dy − y dx [mm²]."""
        return (self.a[0] * self.b[1] - self.b[0] * self.a[1]) / 2

    def points(self) -> list[Point]:
        """Its start and its middle."""
        return [self.a, ((self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2)]


class Bow(Struct, frozen=True):
    """A circular piece about ``centre`` from the angle ``start`` by ``sweep`` [radians, anticlockwise]."""

    centre: Point
    radius: float
    start: float
    sweep: float

    def at(self, share: float) -> Point:
        """The point at a share of the sweep."""
        angle = self.start + share * self.sweep
        return (self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle))

    @property
    def a(self) -> Point:
        """Its start."""
        return self.at(0.0)

    @property
    def b(self) -> Point:
        """Its end."""
        return self.at(1.0)

    @property
    def swept(self) -> float:
        """As of a straight piece [mm²]."""
        (ax, ay), (bx, by), (cx, cy) = self.a, self.b, self.centre
        return (self.radius**2 * self.sweep + cx * (by - ay) - cy * (bx - ax)) / 2

    def points(self) -> list[Point]:
        """Its start and points no more than 30 degrees apart, without its end."""
        count = max(2, math.ceil(abs(self.sweep) / (math.pi / 6)))
        return [self.at(k / count) for k in range(count)]


class Bezier(Struct, frozen=True):
    """A cubic Bézier with the control points ``p`` and ``q``."""

    a: Point
    p: Point
    q: Point
    b: Point

    def at(self, t: float) -> Point:
        """The point at parameter ``t`` from 0 to 1."""
        s = 1.0 - t
        u, v, w, z = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        return (
            u * self.a[0] + v * self.p[0] + w * self.q[0] + z * self.b[0],
            u * self.a[1] + v * self.p[1] + w * self.q[1] + z * self.b[1],
        )

    def _slope(self, t: float) -> Point:
        s = 1.0 - t
        return (
            3
            * (s * s * (self.p[0] - self.a[0]) + 2 * s * t * (self.q[0] - self.p[0]) + t * t * (self.b[0] - self.q[0])),
            3
            * (s * s * (self.p[1] - self.a[1]) + 2 * s * t * (self.q[1] - self.p[1]) + t * t * (self.b[1] - self.q[1])),
        )

    @property
    def swept(self) -> float:
        """As of a straight piece [mm²]; exact, for the integrand is of degree 5."""
        total = 0.0
        for t, weight in _GAUSS:
            (x, y), (dx, dy) = self.at(t), self._slope(t)
            total += weight * (x * dy - y * dx)
        return total / 2

    def points(self) -> list[Point]:
        """Its start and two points between, without its end."""
        return [self.a, self.at(1 / 3), self.at(2 / 3)]


Curve = Straight | Bow | Bezier


def mapped(curve: Curve, scale: Point, by: Point) -> Curve:
    """A piece scaled and then moved.

    Raises:
        TypeError: it is an arc, and the scales differ.
    """
    (sx, sy), (dx, dy) = scale, by

    def there(p: Point) -> Point:
        return (p[0] * sx + dx, p[1] * sy + dy)

    match curve:  # a template has tens of thousands of pieces
        case Straight():
            (ax, ay), (bx, by_) = curve.a, curve.b
            return Straight((ax * sx + dx, ay * sy + dy), (bx * sx + dx, by_ * sy + dy))
        case Bezier():
            return Bezier(there(curve.a), there(curve.p), there(curve.q), there(curve.b))
        case Bow():
            if scale != (1.0, 1.0):
                raise TypeError("an arc that is stretched is no arc")
            return replace(curve, centre=there(curve.centre))


class Trace(Struct, frozen=True):
    """One connected line of a file.

    Args:
        curves: its pieces, each beginning where the one before ends.
        closed: whether the file says that it is closed.
        layer: the layer it is on; empty where the format has none.
        filled: whether it is an area rather than a line.
    """

    curves: tuple[Curve, ...]
    closed: bool
    layer: str = ""
    filled: bool = False

    def points(self) -> list[Point]:
        """Points all along it: every joint, and some between."""
        found = [point for curve in self.curves for point in curve.points()]
        return found if self.closed else [*found, self.curves[-1].b]

    @property
    def area(self) -> float:
        """What it encloses, the gap between its ends closed by a straight line [mm²]."""
        gap = Straight(self.curves[-1].b, self.curves[0].a)
        return abs(sum(curve.swept for curve in self.curves) + gap.swept)

    @property
    def round(self) -> bool:
        """Whether nothing of it is straight."""
        return not any(isinstance(curve, Straight) for curve in self.curves)


def joined(pieces: Sequence[Curve]) -> tuple[Curve, ...]:
    """The pieces without straight ones that have no length, which some formats close a line with."""
    return tuple(p for p in pieces if not (isinstance(p, Straight) and math.dist(p.a, p.b) < 1e-6))
