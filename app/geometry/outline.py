"""Board outlines: corners, set-back corners, and the pieces a boundary is made of.

A corner set back ``(a, b)`` leaves the incoming edge ``a`` mm before the corner and joins the outgoing edge
``b`` mm after it, tangent to both: a circular arc where ``a == b``, an arc of an ellipse otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Literal

from msgspec import Struct
from msgspec.structs import force_setattr
from propcache.api import cached_property

from app.errors import GeometryError
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece, Piece, flattened_piece, piece_bounds
from app.geometry.shapes import Point
from app.values import replace

EdgeName = Literal["front", "right", "back", "left"]
EDGE_NAMES: tuple[EdgeName, ...] = ("front", "right", "back", "left")
_TINY = 1e-9
_BEND = 1e-6  # rad: a line that turns less may as well be straight


class Corner(Struct, frozen=True):
    """A corner of an outline at ``(x, y)`` [mm], set back by ``setback = (before, after)`` [mm] or sharp."""

    x: float
    y: float
    setback: tuple[float, float] | None = None


class Outline(Struct, frozen=True, dict=True):
    """A closed list of corners, anticlockwise; a clockwise list is turned round.

    Args:
        corners: at least three corners [mm].

    Raises:
        GeometryError: too few corners, not finite, no area, set-back longer than an edge, or it crosses itself.
    """

    corners: tuple[Corner, ...]

    def __post_init__(self) -> None:
        corners = self.corners
        if len(corners) < 3:
            raise GeometryError(f"An outline needs at least 3 corners, got {len(corners)}.")
        if not all(math.isfinite(v) for c in corners for v in (c.x, c.y, *(c.setback or ()))):
            raise GeometryError("An outline needs finite numbers. Enter every corner as a length.")
        points = [(c.x, c.y) for c in corners]
        area = _area(points)
        if abs(area) < _TINY:
            if any(abs(_area([points[0], *pair])) > _TINY for pair in pairwise(points[1:])):
                _check_simple(points)  # the two halves of a bow tie cancel
            raise GeometryError("The outline has no area. Give the board a width and a depth above 0 mm.")
        if area < 0:
            turned = (Corner(c.x, c.y, (c.setback[1], c.setback[0]) if c.setback else None) for c in reversed(corners))
            force_setattr(self, "corners", tuple(turned))
        _check_easing(self.corners)
        _check_simple(self.flattened(0.1))

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The boundary anticlockwise: straight, circular and elliptic pieces, each from where the last one ends."""
        joins = [_set_back(*triple) for triple in _triples(self.corners)]
        found: list[Piece] = []
        for i, (_, curve, end) in enumerate(joins):
            if curve is not None:
                found.append(curve)
            nxt = joins[(i + 1) % len(joins)][0]
            if math.dist(end, nxt) > _TINY:
                found.append(LinePiece(end, nxt))
        # Curves that meet end in one point, not in two that rounding has set apart: the rim has no gap.
        return tuple(replace(piece, a=found[k - 1].b) for k, piece in enumerate(found))

    @cached_property
    def curves(self) -> tuple[ArcPiece | EllipsePiece | None, ...]:
        """The curve of each corner; None where it is sharp."""
        return tuple(_set_back(*triple)[1] for triple in _triples(self.corners))

    def flattened(self, sag: float = 0.0005) -> list[Point]:
        """The boundary as points no more than ``sag`` mm from the true curve, not repeating the first."""
        points: list[Point] = []
        for piece in self.pieces:
            points.extend(flattened_piece(piece, sag))
        return points

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest upright rectangle (x0, y0, x1, y1) around the outline, exactly [mm].

        Its left and front sides are the datum edges: the straight edges there, or, where the rim is round, the lines
        that touch it at its outermost points.
        """
        x0, y0, x1, y1 = zip(*(piece_bounds(piece) for piece in self.pieces), strict=True)
        return (min(x0), min(y0), max(x1), max(y1))

    def encloses(self, other: Outline) -> bool:
        """Whether ``other`` lies inside this outline without touching it."""
        import shapely

        inner, outer = (shapely.polygons(shapely.linearrings(o.flattened(0.01))) for o in (other, self))
        return bool(shapely.contains_properly(outer, inner))

    def mapped(self, move: Point = (0.0, 0.0), mirror_x: float | None = None, turn: float = 0.0) -> Outline:
        """The outline mirrored about ``x = mirror_x``, then turned about the origin, then moved [mm, degrees]."""
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        corners = []
        for corner in self.corners:
            x = corner.x if mirror_x is None else 2 * mirror_x - corner.x
            corners.append(Corner(x * c - corner.y * s + move[0], x * s + corner.y * c + move[1], corner.setback))
        return Outline(tuple(corners))


def first_meeting(outlines: Sequence[Outline]) -> tuple[int, int] | None:
    """Indices of two outlines that touch, cross or lie within one another, the first by number; None if none do."""
    if len(outlines) < 2:
        return None
    import shapely

    areas = [shapely.Polygon(o.flattened(0.01)) for o in outlines]
    pairs = shapely.STRtree(areas).query(areas, predicate="intersects").T
    return min(((int(a), int(b)) for a, b in pairs if a < b), default=None)


def edge_of(a: Point, b: Point) -> EdgeName:
    """Which edge of a anticlockwise board a step from ``a`` to ``b`` belongs to, by its outward normal.

    At just 45 degrees, as at a corner set back equally, it is front or back, however the numbers were rounded.
    """
    nx, ny = b[1] - a[1], a[0] - b[0]
    if abs(ny) >= abs(nx) * (1 - _TINY):
        return "front" if ny < 0 else "back"
    return "left" if nx < 0 else "right"


def rectangle_outline(width: float, front_to_back: float, setback: float = 0.0) -> Outline:
    """A rectangular board from the datum corner, its back corners set back equally [mm]."""
    both = (setback, setback) if setback > 0 else None
    return Outline((Corner(0, 0), Corner(width, 0), Corner(width, front_to_back, both), Corner(0, front_to_back, both)))


def _area(points: list[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2


def _triples(corners: tuple[Corner, ...]) -> Iterator[tuple[Corner, Corner, Corner]]:
    n = len(corners)
    return ((corners[i - 1], corners[i], corners[(i + 1) % n]) for i in range(n))


def _check_easing(corners: tuple[Corner, ...]) -> None:
    n = len(corners)
    for i, corner in enumerate(corners):
        nxt = corners[(i + 1) % n]
        length = math.dist((corner.x, corner.y), (nxt.x, nxt.y))
        if length < _TINY:
            raise GeometryError(f"Corners {i + 1} and {(i + 1) % n + 1} are in the same place. Delete one.")
        if any(v < 0 for v in corner.setback or ()):
            raise GeometryError(f"Corner {i + 1} has set-backs of {corner.setback}: they must be 0 mm or more.")
        used = (corner.setback[1] if corner.setback else 0.0) + (nxt.setback[0] if nxt.setback else 0.0)
        if used > length + _TINY:
            raise GeometryError(
                f"The edge from corner {i + 1} is {length:g} mm long, but the set-backs of its corners take "
                f"{used:g} mm. "
                "Reduce them."
            )


def _check_simple(points: list[Point]) -> None:
    if _turns_once(points):
        return
    import shapely  # here and not above: most outlines turn one way only

    if not shapely.is_valid(shapely.linearrings([*points, points[0]])) or not shapely.is_valid(
        shapely.polygons([*points, points[0]])
    ):
        raise GeometryError("The outline crosses or touches itself. List its corners once round, in order.")


def _turns_once(points: list[Point]) -> bool:
    """Whether a closed line turns the same way at every point, and once in all: then it can meet itself nowhere."""
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    turns = [
        math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
        for u, v in zip(steps, steps[1:] + steps[:1], strict=True)
    ]
    return min(turns) > _BEND and sum(turns) < 3 * math.pi


def _set_back(before: Corner, corner: Corner, after: Corner) -> tuple[Point, ArcPiece | EllipsePiece | None, Point]:
    """Where the curve at ``corner`` starts, the curve, and where it ends."""
    at = (corner.x, corner.y)
    a, b = corner.setback or (0.0, 0.0)
    if a <= 0 or b <= 0:
        return at, None, at
    start = _toward(at, (before.x, before.y), a)
    end = _toward(at, (after.x, after.y), b)
    u = ((at[0] - start[0]) / a, (at[1] - start[1]) / a)
    v = ((end[0] - at[0]) / b, (end[1] - at[1]) / b)
    turn = math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
    if abs(turn) < 1e-6:
        return at, None, at
    if abs(a - b) > _TINY:
        return start, EllipsePiece(start, end, at, math.cos(turn / 2)), end
    radius = a / math.tan(abs(turn) / 2)
    side = 1.0 if turn > 0 else -1.0
    centre = (start[0] - side * radius * u[1], start[1] + side * radius * u[0])
    return start, ArcPiece(start, end, centre, radius, math.degrees(turn)), end


def _toward(a: Point, b: Point, by: float) -> Point:
    length = math.dist(a, b)
    return (a[0] + (b[0] - a[0]) * by / length, a[1] + (b[1] - a[1]) * by / length)
