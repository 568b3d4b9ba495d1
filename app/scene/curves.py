"""Circular arcs and cubic Béziers in millimetres, y up: points, extents, and one turned into the other."""

from __future__ import annotations

from math import atan2, ceil, copysign, cos, degrees, hypot, radians, sin, sqrt, tan

from app.scene.primitives import Point

Cubic = tuple[Point, Point, Point]
"""Two control points and the end of a cubic Bézier; it starts where the pen is [mm]."""


def at_angle(centre: Point, radius: float, angle: float) -> Point:
    """The point of a circle [mm] at ``angle`` [degrees, anticlockwise from +x]."""
    return centre[0] + radius * cos(radians(angle)), centre[1] + radius * sin(radians(angle))


def angle_of(centre: Point, point: Point) -> float:
    """Direction from ``centre`` to ``point`` [degrees, anticlockwise from +x]."""
    return degrees(atan2(point[1] - centre[1], point[0] - centre[0]))


def arc_pieces(start: Point, end: Point, centre: Point, sweep: float, largest: float) -> list[tuple[Point, float]]:
    """An arc cut into equal pieces that turn by no more than ``largest`` [degrees].

    Returns the end [mm] and the sweep [degrees, anticlockwise positive] of each piece. The last one ends
    exactly at ``end``; the radius goes evenly from that of ``start`` to that of ``end``, so that rounded
    input leaves no step.
    """
    count = max(1, ceil(abs(sweep) / largest - 1e-9)) if sweep else 1
    first = hypot(start[0] - centre[0], start[1] - centre[1])
    last = hypot(end[0] - centre[0], end[1] - centre[1])
    begin, step = angle_of(centre, start), sweep / count
    inner = [at_angle(centre, first + (last - first) * i / count, begin + step * i) for i in range(1, count)]
    return [(point, step) for point in (*inner, end)]


def arc_to_cubics(start: Point, end: Point, centre: Point, sweep: float) -> list[Cubic]:
    """An arc as cubic Béziers of at most 45 degrees each.

    The handles are 4/3·tan(θ/4) of the radius long, which leaves the curve on the circle at both ends and
    the middle; in between it is outside by at most 4.3e-6 of the radius (0.0002 mm on a circle of 100 mm).
    """
    cubics = []
    here = start
    for there, step in arc_pieces(start, end, centre, sweep, 45.0):
        k = 4.0 / 3.0 * tan(radians(step) / 4.0)
        out = here[0] - k * (here[1] - centre[1]), here[1] + k * (here[0] - centre[0])
        back = there[0] + k * (there[1] - centre[1]), there[1] - k * (there[0] - centre[0])
        cubics.append((out, back, there))
        here = there
    return cubics


def cubic_point(start: Point, cubic: Cubic, t: float) -> Point:
    """The point of a Bézier [mm] at parameter ``t`` from 0 to 1."""
    (ax, ay), (bx, by), (cx, cy) = cubic
    s = 1.0 - t
    p, q, r, w = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    return p * start[0] + q * ax + r * bx + w * cx, p * start[1] + q * ay + r * by + w * cy


def flatten_cubic(start: Point, cubic: Cubic, tolerance: float) -> list[Point]:
    """Ends of the straight pieces that follow a Bézier within ``tolerance`` [mm], without its start.

    The number of pieces is from the largest second difference d of the control points: equal steps in t
    stay within 3·d/(4·n²) of the curve, because its second derivative is nowhere above 6·d.
    """
    (ax, ay), (bx, by), end = cubic
    d = max(
        hypot(start[0] - 2 * ax + bx, start[1] - 2 * ay + by),
        hypot(ax - 2 * bx + end[0], ay - 2 * by + end[1]),
    )
    count = max(1, ceil(sqrt(0.75 * d / tolerance)))
    return [*(cubic_point(start, cubic, i / count) for i in range(1, count)), end]


def arc_extremes(centre: Point, radius: float, start: float, sweep: float) -> list[Point]:
    """Both ends of an arc [mm] and every point of it where it turns back in x or y (angles in degrees)."""
    low, high = sorted((start, start + sweep))
    quarters = range(ceil(low / 90.0), int(high // 90.0) + 1) if high - low < 360.0 else range(4)
    angles = (low, high, *(90.0 * quarter for quarter in quarters))
    return [at_angle(centre, radius, angle) for angle in angles]


def cubic_extremes(start: Point, cubic: Cubic) -> list[Point]:
    """Both ends of a Bézier [mm] and every point of it where it turns back in x or y."""
    points = [start, cubic[2]]
    for axis in (0, 1):
        p, q, r, s = start[axis], cubic[0][axis], cubic[1][axis], cubic[2][axis]
        points += [cubic_point(start, cubic, t) for t in _turns(q - p, r - q, s - r) if 0.0 < t < 1.0]
    return points


def _turns(a: float, b: float, c: float) -> list[float]:
    """Roots of a(1−t)² + 2b(1−t)t + ct², the slope of a Bézier in one axis."""
    # In the form whose two divisions never cancel, for a nearly straight slope too.
    square, line = a - 2 * b + c, b - a
    root = line * line - square * a
    if root < 0.0:
        return []
    q = -line - copysign(sqrt(root), line)
    return [above / below for above, below in ((q, square), (a, q)) if below]
