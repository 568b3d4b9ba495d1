"""Closed rings of lines and cubic Béziers: the outlines of letters and signs, at any size and place.

A fill covers what rings turn about once more one way than the other, so that the inside of an O, whose ring turns the
other way round than its rim, is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct
from propcache.api import cached_property

from app.geometry.shapes import Point

Piece = tuple[Point, ...]
"""One step of a ring: the end of a line, or two control points and the end of a cubic Bézier [mm]."""

Box = tuple[float, float, float, float]

_QUARTER = 4.0 / 3.0 * math.tan(math.pi / 8.0)
"""Handles of a quarter of a circle, as a share of its radius: off the circle by at most 0.03 % of it."""


class Pose(Struct, frozen=True):
    """Where a drawing about an origin comes: enlarged, turned, then moved.

    Args:
        x, y: where its origin comes [mm].
        cos, sin: of the turn, anticlockwise.
        size: how many times as large.
        mirrored: whether its x is turned over first.
    """

    x: float = 0.0
    y: float = 0.0
    cos: float = 1.0
    sin: float = 0.0
    size: float = 1.0
    mirrored: bool = False

    def at(self, point: Point) -> Point:
        """Where a point comes [mm]."""
        px, py = self.size * (-point[0] if self.mirrored else point[0]), self.size * point[1]
        return (self.x + px * self.cos - py * self.sin, self.y + px * self.sin + py * self.cos)


class Contour(Struct, frozen=True, dict=True):
    """One closed ring.

    Args:
        start: where it begins and ends [mm].
        pieces: its steps; a ring whose last one does not end at ``start`` is closed by a line.
    """

    start: Point
    pieces: tuple[Piece, ...]

    def placed(self, pose: Pose) -> Contour:
        """The ring where a pose brings it."""
        return Contour(pose.at(self.start), tuple(tuple(map(pose.at, piece)) for piece in self.pieces))

    @cached_property
    def box(self) -> Box:
        """Smallest upright rectangle (x0, y0, x1, y1) round it, exact for its curves [mm]."""
        points = [self.start]
        for here, piece in self.steps:
            points.append(piece[-1])
            if len(piece) == 3:
                points += _extremes(here, piece)
        xs, ys = zip(*points, strict=True)
        return (min(xs), min(ys), max(xs), max(ys))

    @property
    def steps(self) -> Iterator[tuple[Point, Piece]]:
        """Every step with where it begins."""
        here = self.start
        for piece in self.pieces:
            yield here, piece
            here = piece[-1]

    @cached_property
    def area(self) -> float:
        """What it encloses, exact for its curves, negative where it turns clockwise [mm²]."""
        total = 0.0
        last = self.start
        for here, piece in self.steps:
            total += _cross(here, piece[0]) if len(piece) == 1 else _swept(here, piece)
            last = piece[-1]
        return (total + _cross(last, self.start)) / 2

    def polygon(self, pieces: int = 8) -> tuple[Point, ...]:
        """The ring as straight pieces, so many to a curve."""
        points = [self.start]
        for here, piece in self.steps:
            if len(piece) == 1:
                points.append(piece[0])
            else:
                points += [_on(here, piece, k / pieces) for k in range(1, pieces + 1)]
        return tuple(points)


def box_of(contours: Iterable[Contour]) -> Box:
    """The rectangle round several rings; there is at least one [mm]."""
    boxes = [contour.box for contour in contours]
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)
    )  # fmt: skip


def ring(points: Sequence[Point]) -> Contour:
    """A ring of straight lines; anticlockwise corners make a fill, clockwise ones a hole in one."""
    return Contour(points[0], tuple((point,) for point in points[1:]))


def box_ring(x0: float, y0: float, x1: float, y1: float) -> Contour:
    """An upright rectangle, anticlockwise [mm]."""
    return ring(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def disc(x: float, y: float, radius: float, *, hole: bool = False) -> Contour:
    """A circle in four curves, anticlockwise; as a ``hole`` clockwise [mm]."""
    start, pieces = arc(x, y, radius, 0.0, -360.0 if hole else 360.0)
    return Contour(start, pieces)


def arc(x: float, y: float, radius: float, begin: float, sweep: float) -> tuple[Point, tuple[Piece, ...]]:
    """Where an arc begins, and its steps, a quarter of a turn or less each [mm, degrees anticlockwise]."""
    many = max(1, math.ceil(abs(sweep) / 90.0 - 1e-9))
    step = math.radians(sweep / many)
    handle = 4.0 / 3.0 * math.tan(step / 4.0)
    angles = [math.radians(begin) + k * step for k in range(many + 1)]
    spots = [(math.cos(a), math.sin(a)) for a in angles]
    pieces = []
    for (ca, sa), (cb, sb) in pairwise(spots):
        pieces.append(
            (
                (x + radius * (ca - handle * sa), y + radius * (sa + handle * ca)),
                (x + radius * (cb + handle * sb), y + radius * (sb - handle * cb)),
                (x + radius * cb, y + radius * sb),
            )
        )
    return (x + radius * spots[0][0], y + radius * spots[0][1]), tuple(pieces)


def band(x: float, y: float, radius: float, width: float, begin: float, sweep: float) -> Contour:
    """A stretch of a ring ``width`` wide about ``radius``, with straight ends, anticlockwise [mm, degrees]."""
    start, outer = arc(x, y, radius + width / 2, begin, sweep)
    inner, back = arc(x, y, radius - width / 2, begin + sweep, -sweep)
    return Contour(start, (*outer, (inner,), *back))


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _swept(a: Point, piece: Piece) -> float:
    """Twice the area that a Bézier sweeps about the origin: Green's theorem, exact for a cubic."""
    b, c, d = piece
    return (6 * (_cross(a, b) + _cross(c, d)) + 3 * (_cross(a, c) + _cross(b, c) + _cross(b, d)) + _cross(a, d)) / 10


def _on(a: Point, piece: Piece, t: float) -> Point:
    b, c, d = piece
    s = 1.0 - t
    p, q, r, w = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    return (p * a[0] + q * b[0] + r * c[0] + w * d[0], p * a[1] + q * b[1] + r * c[1] + w * d[1])


def _extremes(a: Point, piece: Piece) -> Iterator[Point]:
    """Where a Bézier turns back along x or y."""
    for k in (0, 1):
        p0, p1, p2, p3 = a[k], piece[0][k], piece[1][k], piece[2][k]
        u, v, w = p1 - p0, p2 - p1, p3 - p2
        p, q, r = u - 2 * v + w, 2 * (v - u), u
        if abs(p) < 1e-12:
            roots = [-r / q] if abs(q) > 1e-12 else []
        else:
            inside = q * q - 4 * p * r
            roots = [(-q + s * math.sqrt(inside)) / (2 * p) for s in (1, -1)] if inside >= 0 else []
        yield from (_on(a, piece, t) for t in roots if 0 < t < 1)
