"""Lines to follow with a cutter that is wider than nothing: inside ones half its width smaller, outside ones larger.

A circle and a slot keep their form exactly. A rim is followed at an exact distance too: straight pieces are moved,
arcs change their radius, an arc goes round each corner the cutter passes outside of, and a corner it cannot enter
stays sharp. Elliptic corners, whose parallels are no ellipses, are chords within 0.001 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.errors import GeometryError, WriterError
from app.geometry.outline import Corner, Outline
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece, Piece
from app.geometry.shapes import Point, Shape
from app.scene.curves import arc_pieces
from app.scene.primitives import ArcTo, LineTo, Path, Step, Style

WIDEST: Final = 20.0
"""A cut wider than this is no kerf [mm]; choice of this program."""

_SAG = 0.001
_SAME = 1e-9


def checked_kerf(kerf: float) -> float:
    """The width of the cut [mm], if there can be such a cut.

    Raises:
        WriterError: it is below 0, not finite or above ``WIDEST``.
    """
    if not (math.isfinite(kerf) and 0.0 <= kerf <= WIDEST):
        raise WriterError(
            f"A kerf is the full width of the cut, from 0 to {WIDEST:g} mm, got {kerf:g} mm. Measure a slot "
            "cut in scrap and enter its width."
        )
    return kerf


def shrunk(shape: Shape, by: float) -> Shape:
    """A cut-out with ``by`` mm less on every side.

    Raises:
        WriterError: nothing of it would be left.
    """
    if by < shape.radius or (by == shape.radius and len(shape.core) > 2):
        return Shape(shape.core, shape.radius - by)
    core = _inset(shape.core, by - shape.radius) if len(shape.core) > 2 else ()
    if not core:
        w, h = shape.size
        raise _vanishes(f"The cut-out of {w:g} × {h:g} mm at x {shape.centre[0]:g}, y {shape.centre[1]:g} mm", by)
    return Shape(core, 0.0)


def parallel_path(outline: Outline, by: float, style: Style, layer: str = "") -> Path:
    """The line ``by`` mm outside a rim, or inside it if ``by`` is below 0, as one closed path.

    Raises:
        WriterError: nothing would be left, or the line would cross itself.
    """
    moved = [_moved(piece, by) for piece in outline.pieces]
    joins = [_joined(moved[i - 1], moved[i], by) for i in range(len(moved))]
    steps: list[Step] = []
    for i, piece in enumerate(moved):
        before, after = joins[i], joins[(i + 1) % len(moved)]
        start, end = before.start, after.end
        if isinstance(piece.of, LinePiece) and not _forward(start, end, piece.of):
            raise _vanishes("A piece of the rim", by)
        if before.arc is not None:
            steps.append(before.arc)
        steps += piece.steps[:-1]
        last = piece.steps[-1]
        steps.append(ArcTo(end, last.centre, last.sweep) if isinstance(last, ArcTo) else LineTo(end))
    if isinstance(steps[-1], LineTo):
        steps.pop()  # closing the path draws it
    path = Path(joins[0].end, tuple(steps), style, closed=True, layer=layer)
    _check(path, by)
    return path


class _Moved(Struct, frozen=True):
    """A piece at its distance: where it starts, the steps along it, its directions at both ends."""

    of: Piece
    start: Point
    steps: tuple[ArcTo | LineTo, ...]
    ahead: Point
    behind: Point

    @property
    def end(self) -> Point:
        return self.steps[-1].end


class _Join(Struct, frozen=True):
    """Between two pieces: where the first ends and the second starts, and the arc between them, if any."""

    end: Point
    start: Point
    arc: ArcTo | None = None


def _moved(piece: Piece, by: float) -> _Moved:
    if isinstance(piece, LinePiece):
        ahead = _unit(piece.a, piece.b)
        start, end = _beside(piece.a, ahead, by), _beside(piece.b, ahead, by)
        return _Moved(piece, start, (LineTo(end),), ahead, ahead)
    if isinstance(piece, ArcPiece):
        side = math.copysign(1.0, piece.sweep)
        radius = piece.radius + side * by
        if radius <= 0:
            raise _vanishes(f"An arc of {piece.radius:g} mm", by)
        start, end = (_toward(piece.centre, p, radius / piece.radius) for p in (piece.a, piece.b))
        ahead, behind = (_turned(piece.centre, p, side) for p in (piece.a, piece.b))
        return _Moved(piece, start, (ArcTo(end, piece.centre, piece.sweep),), ahead, behind)
    return _moved_ellipse(piece, by)


def _moved_ellipse(piece: EllipsePiece, by: float) -> _Moved:
    ahead, behind = _unit(piece.a, piece.control), _unit(piece.control, piece.b)
    size = math.dist(piece.a, piece.control) + math.dist(piece.control, piece.b) + abs(by)
    count = max(8, math.ceil(math.sqrt(size / _SAG)))
    true = [piece.at(k / count) for k in range(count + 1)]
    points = []
    for k, at in enumerate(true):
        # The direction at t is that of the last step of the halving that leads there (de Casteljau, with weights).
        u, v, m = 1 - k / count, k / count, piece.weight
        ahead_here = _unit(_mixed(piece.a, piece.control, u, m * v), _mixed(piece.control, piece.b, m * u, v))
        points.append(_beside(at, ahead_here, by))
    if any(_dot(_minus(points[k + 1], points[k]), _minus(true[k + 1], true[k])) <= 0 for k in range(count)):
        raise _vanishes("An elliptic corner", by)
    return _Moved(piece, points[0], tuple(LineTo(p) for p in points[1:]), ahead, behind)


def _joined(first: _Moved, second: _Moved, by: float) -> _Join:
    if math.dist(first.end, second.start) < _SAME:
        return _Join(first.end, second.start)
    turn = math.atan2(_cross(first.behind, second.ahead), _dot(first.behind, second.ahead))
    corner = second.of.a
    if turn * by > 0:
        return _Join(first.end, second.start, ArcTo(second.start, corner, math.degrees(turn)))
    if not (isinstance(first.of, LinePiece) and isinstance(second.of, LinePiece)):
        if abs(turn) < 1e-6:
            return _Join(first.end, first.end)
        raise WriterError(
            f"The rim has a sharp inside corner on a curve at x {corner[0]:g}, y {corner[1]:g} mm, which no cutter "
            "can follow. Round the corner, or export without a kerf."
        )
    # Both lines are moved along their normals; they meet on the bisector of the corner.
    across = by / math.cos(turn / 2)
    bisector = _unit((0.0, 0.0), (first.behind[0] + second.ahead[0], first.behind[1] + second.ahead[1]))
    meeting = _beside(corner, bisector, across)
    return _Join(meeting, meeting)


def _forward(start: Point, end: Point, piece: LinePiece) -> bool:
    return _dot(_minus(end, start), _minus(piece.b, piece.a)) > 0


def _check(path: Path, by: float) -> None:
    """Let the rim be judged as a board's would be: it has an area, and neither touches nor crosses itself."""
    points, here = [path.start], path.start
    for step in path.steps:
        if isinstance(step, ArcTo):
            points += [p for p, _ in arc_pieces(here, step.end, step.centre, step.sweep, 10.0)]
        else:
            points.append(step.end)
        here = step.end
    kept = [p for p, q in zip(points, points[1:] + points[:1], strict=True) if math.dist(p, q) > _SAME]
    area = sum(_cross(p, q) for p, q in zip(kept, kept[1:] + kept[:1], strict=True)) / 2
    try:
        Outline(tuple(Corner(*p) for p in kept))
    except GeometryError as error:
        raise _vanishes("Part of the rim", by) from error
    if area <= 0:
        raise _vanishes("The rim", by)


def _inset(core: Sequence[Point], by: float) -> tuple[Point, ...]:
    """A convex polygon, anticlockwise, with ``by`` mm less on every side; empty if nothing is left."""
    sides = [_unit(a, b) for a, b in zip(core, (*core[1:], core[0]), strict=True)]
    points = []
    for i, corner in enumerate(core):
        first, second = sides[i - 1], sides[i]
        turn = math.atan2(_cross(first, second), _dot(first, second))
        bisector = _unit((0.0, 0.0), (first[0] + second[0], first[1] + second[1]))
        points.append(_beside(corner, bisector, -by / math.cos(turn / 2)))
    left = zip(points, (*points[1:], points[0]), sides, strict=True)
    return tuple(points) if all(_dot(_minus(b, a), side) > _SAME for a, b, side in left) else ()


def _vanishes(what: str, by: float) -> WriterError:
    return WriterError(
        f"{what} would vanish: a kerf of {2 * abs(by):g} mm takes {abs(by):g} mm on every side. Enter the "
        "width of the cut, not of the hole, or export without a kerf."
    )


def _minus(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1])


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def _beside(p: Point, ahead: Point, by: float) -> Point:
    """The point ``by`` mm to the right of ``p`` as one looks ahead: outward on a anticlockwise rim."""
    return (p[0] + ahead[1] * by, p[1] - ahead[0] * by)


def _toward(a: Point, b: Point, share: float) -> Point:
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)


def _turned(centre: Point, p: Point, side: float) -> Point:
    x, y = _unit(centre, p)
    return (-side * y, side * x)


def _mixed(a: Point, b: Point, u: float, v: float) -> Point:
    return ((a[0] * u + b[0] * v) / (u + v), (a[1] * u + b[1] * v) / (u + v))
