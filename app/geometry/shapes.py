"""Shapes of cut-outs, flanges and bodies: a convex core grown by a radius.

A circle is a point grown by its radius, a slot a segment grown by half its width, a rectangle with
rounded corners a smaller rectangle grown by the corner radius. The distance between two shapes is the
distance between their cores less both radii, so circles, slots and rectangles are judged exactly.
"""

from __future__ import annotations

import math

from msgspec import Struct
from propcache.api import cached_property

from app.errors import GeometryError

Point = tuple[float, float]


def rotate(point: Point, angle: float) -> Point:
    """``point`` [mm] turned about the origin by ``angle`` degrees, exact for quarter turns."""
    if angle == 0.0:
        return point
    quarter = angle % 360.0
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    c, s = exact.get(quarter) or (math.cos(math.radians(quarter)), math.sin(math.radians(quarter)))
    return (point[0] * c - point[1] * s, point[0] * s + point[1] * c)


class Shape(Struct, frozen=True, dict=True):
    """A convex core grown by a radius.

    Args:
        core: one point, two points, or a convex polygon anticlockwise [mm].
        radius: growth, at least 0 [mm]; more than 0 for a one- or two-point core.

    Raises:
        GeometryError: a number is not finite, or the shape has no area.
    """

    core: tuple[Point, ...]
    radius: float

    def __post_init__(self) -> None:
        total = self.radius  # a sum is finite only if every number in it is
        for x, y in self.core:
            total += x + y
        if not self.core or not math.isfinite(total):
            raise GeometryError(f"A shape needs finite numbers, got {self.core} and radius {self.radius}.")
        if self.radius < 0 or (self.radius == 0 and len(self.core) < 3):
            raise GeometryError(f"A shape needs a size above 0 mm, got radius {self.radius} mm. Enter its real size.")

    @property
    def is_circle(self) -> bool:
        """Whether the core is a single point."""
        return len(self.core) == 1

    @cached_property
    def centre(self) -> Point:
        """Mean of the core's points [mm]: the centre of a circle, slot or rectangle."""
        n = len(self.core)
        return (sum(p[0] for p in self.core) / n, sum(p[1] for p in self.core) / n)

    @cached_property
    def reach(self) -> float:
        """Largest distance from the centre to the rim [mm]."""
        cx, cy = self.centre
        return max(math.hypot(x - cx, y - cy) for x, y in self.core) + self.radius

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest upright rectangle (x0, y0, x1, y1) around the shape [mm]."""
        xs, ys, r = [p[0] for p in self.core], [p[1] for p in self.core], self.radius
        return (min(xs) - r, min(ys) - r, max(xs) + r, max(ys) + r)

    @property
    def size(self) -> Point:
        """Width and height of the bounds [mm]."""
        x0, y0, x1, y1 = self.bounds
        return (x1 - x0, y1 - y0)

    def placed(self, x: float, y: float, angle: float = 0.0, radius: float | None = None) -> Shape:
        """The shape turned about its own origin by ``angle`` degrees, then moved by ``x``, ``y`` [mm].

        It keeps its radius, if no other is given.
        """
        core = tuple((x + px, y + py) for px, py in (rotate(p, angle) for p in self.core))
        return Shape(core, self.radius if radius is None else radius)

    def shifted(self, dx: float, dy: float) -> Shape:
        """The shape moved by ``dx``, ``dy`` [mm]."""
        return Shape(tuple([(x + dx, y + dy) for x, y in self.core]), self.radius)

    def grown(self, by: float) -> Shape:
        """The shape with ``by`` more on every side [mm]; ``by`` is at least 0."""
        return Shape(self.core, self.radius + by)

    def mirrored(self, axis_x: float) -> Shape:
        """The mirror image about the line ``x = axis_x`` [mm]."""
        return Shape(tuple((2 * axis_x - x, y) for x, y in reversed(self.core)), self.radius)


def circle(diameter: float, x: float = 0.0, y: float = 0.0) -> Shape:
    """A circle of ``diameter`` about ``(x, y)`` [mm]."""
    return Shape(((x, y),), diameter / 2)


def slot(length: float, width: float, x: float = 0.0, y: float = 0.0, angle: float = 0.0) -> Shape:
    """A slot with round ends about ``(x, y)``: overall ``length`` and ``width`` [mm], ``angle`` in degrees.

    Raises:
        GeometryError: the length is below the width.
    """
    if length < width:
        raise GeometryError(f"A slot is at least as long as wide, got length {length} and width {width} mm.")
    if length == width:
        return circle(width, x, y)
    half = (length - width) / 2
    ends = (rotate((-half, 0.0), angle), rotate((half, 0.0), angle))
    return Shape(tuple((x + px, y + py) for px, py in ends), width / 2)


def rectangle(
    width: float, height: float, x: float = 0.0, y: float = 0.0, angle: float = 0.0, corner: float = 0.0
) -> Shape:
    """A rectangle about ``(x, y)`` with corners rounded by ``corner`` [mm], turned by ``angle`` degrees.

    Raises:
        GeometryError: a side is not above 0, or the corner radius is more than half the shorter side.
    """
    if not (width > 0 and height > 0):
        raise GeometryError(f"A rectangle needs sides above 0 mm, got {width} × {height} mm.")
    if not 0 <= corner <= min(width, height) / 2:
        raise GeometryError(
            f"A corner radius is from 0 to half the shorter side ({min(width, height) / 2:g} mm), got {corner:g} mm."
        )
    if corner == min(width, height) / 2:
        return slot(max(width, height), 2 * corner, x, y, angle + (90.0 if height > width else 0.0))
    a, b = width / 2 - corner, height / 2 - corner
    points = (rotate(p, angle) for p in ((-a, -b), (a, -b), (a, b), (-a, b)))
    return Shape(tuple((x + px, y + py) for px, py in points), corner)
