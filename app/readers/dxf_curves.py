"""Ellipses and splines of a DXF file as circular bends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from app.geometry.shapes import Point
from app.readers.biarcs import Curve, fitted
from app.readers.chain import check_count
from app.readers.pieces import Piece

_INSIDE: Final = 1e-7
"""Directions at the end of a span are taken this share before it, since the next span may begin in another."""


def ellipse_pieces(entity: Any, within: float) -> tuple[list[Piece], float]:
    """An ellipse or a part of one, by its own parameter, a quarter at a time."""
    tool = entity.construction_tool()
    (cx, cy), (ux, uy), (vx, vy) = _flat(tool.center), _flat(tool.major_axis), _flat(tool.minor_axis)
    first = float(tool.start_param)
    span = (float(tool.end_param) - first) % math.tau or math.tau
    count = max(1, math.ceil(span / (math.pi / 2) - 1e-9))
    curves: list[Curve] = []
    for k in range(count):
        low, part = first + span * k / count, span / count

        def at(t: float, low: float = low, part: float = part) -> Point:
            c, s = math.cos(low + part * t), math.sin(low + part * t)
            return (cx + c * ux + s * vx, cy + c * uy + s * vy)

        def along(t: float, low: float = low, part: float = part) -> Point:
            c, s = math.cos(low + part * t), math.sin(low + part * t)
            return (-s * ux + c * vx, -s * uy + c * vy)

        curves.append(Curve(at, along))
    return _all(curves, within)


def spline_pieces(entity: Any, within: float) -> tuple[list[Piece], float]:
    """A spline, a span between two knots at a time, where all of its basis functions are there.

    A closed spline often has knots that are evenly spaced beyond both its ends; the curve is only what lies between
    the knots of index p and n (Piegl and Tiller, The NURBS Book, 12.2).
    """
    tool = entity.construction_tool()
    knots, degree = [float(k) for k in tool.knots()], int(tool.degree)
    inner = sorted(set(knots[degree : len(knots) - degree]))
    check_count(len(inner))
    curves: list[Curve] = []
    for low, high in pairwise(inner):

        def at(t: float, low: float = low, high: float = high) -> Point:
            return _flat(tool.point(min(low + (high - low) * t, high)))

        def along(t: float, low: float = low, high: float = high) -> Point:
            x, y = _flat(tool.derivative(low + (high - low) * min(t, 1 - _INSIDE), 1)[1])
            return (x, y) if math.hypot(x, y) > 0 else _chord(tool, low, high, t)

        curves.append(Curve(at, along))
    return _all(curves, within)


def _chord(tool: Any, low: float, high: float, t: float) -> Point:
    """A direction where the derivative is nothing, as where control points fall together."""
    a, b = (_flat(tool.point(low + (high - low) * u)) for u in (max(0.0, t - 1e-4), min(1.0, t + 1e-4)))
    return (b[0] - a[0], b[1] - a[1])


def _all(curves: Sequence[Curve], within: float) -> tuple[list[Piece], float]:
    found: list[Piece] = []
    worst = 0.0
    for curve in curves:
        pieces, off = fitted(curve, within)
        check_count(len(found) + len(pieces))
        found += pieces
        worst = max(worst, off)
    return found, worst


def _flat(point: Any) -> Point:
    return (float(point.x), float(point.y))
