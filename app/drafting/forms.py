"""Outlines and shapes of the model as drawing primitives; circles stay circles, arcs stay arcs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from app.geometry.outline import Outline
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece
from app.geometry.shapes import Shape
from app.scene.primitives import ArcTo, Circle, CubicTo, Line, LineTo, Path, Point, Step, Style

Box = tuple[float, float, float, float]
"""A rectangle (x0, y0, x1, y1) [mm]."""


def outline_path(outline: Outline, style: Style, layer: str = "") -> Path:
    """The rim as one closed path: lines, arcs, and Béziers within 1e-7 of the size of an elliptic corner."""
    pieces = outline.pieces
    steps: list[Step] = []
    for piece in pieces:
        match piece:
            case LinePiece():
                steps.append(LineTo(piece.b))
            case ArcPiece():
                steps.append(ArcTo(piece.b, piece.centre, piece.sweep))
            case EllipsePiece():
                steps += _cubics(piece.a, piece.control, piece.b, piece.weight, 2)
    if isinstance(pieces[-1], LinePiece):
        steps.pop()  # closing the path draws it
    return Path(pieces[0].a, tuple(steps), style, closed=True, layer=layer)


def _cubics(a: Point, control: Point, b: Point, weight: float, halvings: int) -> list[CubicTo]:
    """A conic as Béziers: halved at its shoulder, then matched in ends, tangents and shoulder.

    The error of the match falls with the sixth power of the angle turned: 2.7e-4 of the radius for a quarter
    of a circle, 7e-8 after two halvings.
    """
    if halvings == 0:
        k = 4.0 * weight / (3.0 * (1.0 + weight))
        return [CubicTo(_between(a, control, k), _between(b, control, k), b)]
    left = _between(a, control, weight / (1.0 + weight))
    right = _between(b, control, weight / (1.0 + weight))
    middle = _between(left, right, 0.5)
    half = math.sqrt((1.0 + weight) / 2.0)
    return [*_cubics(a, left, middle, half, halvings - 1), *_cubics(middle, right, b, half, halvings - 1)]


def _between(a: Point, b: Point, t: float) -> Point:
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)


def shape_item(shape: Shape, style: Style, layer: str = "") -> Circle | Path:
    """A shape as a circle, or as a closed path of lines and arcs."""
    if shape.is_circle:
        return Circle(shape.core[0], shape.radius, style, layer)
    core, r = shape.core, shape.radius
    if r == 0:
        return Path(core[0], tuple(LineTo(p) for p in core[1:]), style, closed=True, layer=layer)
    sides = [(core[i], core[(i + 1) % len(core)]) for i in range(len(core))]
    offsets = [_outward(a, b, r) for a, b in sides]
    start = (sides[0][0][0] + offsets[0][0], sides[0][0][1] + offsets[0][1])
    steps: list[Step] = []
    for i, ((_, corner), out) in enumerate(zip(sides, offsets, strict=True)):
        nxt = offsets[(i + 1) % len(sides)]
        steps.append(LineTo((corner[0] + out[0], corner[1] + out[1])))
        sweep = math.degrees(math.atan2(out[0] * nxt[1] - out[1] * nxt[0], out[0] * nxt[0] + out[1] * nxt[1]))
        end = start if i == len(sides) - 1 else (corner[0] + nxt[0], corner[1] + nxt[1])
        steps.append(ArcTo(end, corner, sweep % 360.0))
    return Path(start, tuple(steps), style, closed=True, layer=layer)


def _outward(a: Point, b: Point, r: float) -> Point:
    """The outward normal of a side of a anticlockwise core, ``r`` mm long."""
    length = math.dist(a, b)
    return ((b[1] - a[1]) * r / length, (a[0] - b[0]) * r / length)


def box_path(box: Box, style: Style, layer: str = "") -> Path:
    """An upright rectangle."""
    x0, y0, x1, y1 = box
    return Path((x0, y0), (LineTo((x1, y0)), LineTo((x1, y1)), LineTo((x0, y1))), style, closed=True, layer=layer)


def rounded_box(box: Box, radius: float, style: Style) -> Path:
    """An upright rectangle with rounded corners, ``radius`` held to half the shorter side [mm]."""
    x0, y0, x1, y1 = box
    r = min(radius, (x1 - x0) / 2, (y1 - y0) / 2)
    steps = (
        LineTo((x1 - r, y0)),
        ArcTo((x1, y0 + r), (x1 - r, y0 + r), 90.0),
        LineTo((x1, y1 - r)),
        ArcTo((x1 - r, y1), (x1 - r, y1 - r), 90.0),
        LineTo((x0 + r, y1)),
        ArcTo((x0, y1 - r), (x0 + r, y1 - r), 90.0),
        LineTo((x0, y0 + r)),
        ArcTo((x0 + r, y0), (x0 + r, y0 + r), 90.0),
    )
    return Path((x0 + r, y0), steps, style, closed=True)


def polyline(points: Sequence[Point], style: Style, *, closed: bool = False, layer: str = "") -> Path:
    """Straight steps through ``points``."""
    return Path(points[0], tuple(LineTo(p) for p in points[1:]), style, closed=closed, layer=layer)


def segments(lines: Iterable[tuple[Point, Point]], style: Style) -> tuple[Line, ...]:
    """One line for each pair of points."""
    return tuple(Line(a, b, style) for a, b in lines)


def crossings(outline: Outline, level: float, *, axis: int = 1) -> list[float]:
    """Where the rim crosses the line y = ``level`` (``axis`` 1) or x = ``level`` (``axis`` 0), sorted [mm].

    The rim is followed to 0.05 mm on curves: for hatching and for sections on screen, not for measuring.
    """
    points = outline.flattened(0.05)
    other = 1 - axis
    found = []
    for a, b in zip(points, points[1:] + points[:1], strict=True):
        if (a[axis] <= level) != (b[axis] <= level):
            t = (level - a[axis]) / (b[axis] - a[axis])
            found.append(a[other] + (b[other] - a[other]) * t)
    return sorted(found)
