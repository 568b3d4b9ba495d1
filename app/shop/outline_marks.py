"""What of a board's outline and openings has to be marked out: curves by offsets, sloped lines by rise and run."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from msgspec import Struct

from app.geometry.conic import Conic
from app.geometry.offsets import Plot, plot
from app.geometry.outline import EdgeName, Outline, edge_of
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece, Piece
from app.geometry.shapes import Point
from app.model.plotting import Plotting
from app.model.resolved import ResolvedBoard

_SQUARE = 1e-5  # a line that leans no more, 0.01 mm in 1 m, is level or upright
_SAME = 1e-6  # mm
_HALF = np.array([0.5])

Box = tuple[float, float, float, float]


class Leg(Struct, frozen=True):
    """An edge that meets another in a corner: which, whether it is level or upright, and how far back on it [mm]."""

    edge: EdgeName
    square: bool
    back: float


class MarkedCurve(Struct, frozen=True):
    """The curve of a set-back corner.

    Args:
        number: by which it is known, from 1.
        ring: 0 of the outline, n of the n-th opening.
        corner: where its two edges meet, from the left and the front datum edge [mm].
        within: whether that is on the blank, the rectangle round the outline.
        legs: the edges, in the order it is plotted.
        ends: where it begins and ends [mm].
        middle: a third point, half-way round [mm].
        circle: centre and radius of a circular one [mm]; None of another.
        joins: number of the curve that begins where it ends; 0 if none does.
        plot: its points.
    """

    number: int
    ring: int
    corner: Point
    within: bool
    legs: tuple[Leg, Leg]
    ends: tuple[Point, Point]
    middle: Point
    circle: tuple[Point, float] | None
    joins: int
    plot: Plot


class MarkedLine(Struct, frozen=True):
    """A straight line that is neither level nor upright.

    Args:
        number: by which it is known, from 1.
        ring: 0 of the outline, n of the n-th opening.
        edge: which edge it is of.
        ends: its ends, the left one first, from the left and the front datum edge [mm].
        corner: the square corner it cuts off, and how far from it each end is [mm]; None if it cuts off none.
    """

    number: int
    ring: int
    edge: EdgeName
    ends: tuple[Point, Point]
    corner: tuple[Point, tuple[Leg, Leg]] | None

    @property
    def run(self) -> float:
        """How far it goes from left to right [mm]."""
        return self.ends[1][0] - self.ends[0][0]

    @property
    def rise(self) -> float:
        """How far it rises towards the back on its way to the right; negative if it falls [mm]."""
        return self.ends[1][1] - self.ends[0][1]


class OutlineMarks(Struct, frozen=True):
    """All that has to be marked out of a board besides level and upright lines."""

    curves: tuple[MarkedCurve, ...]
    lines: tuple[MarkedLine, ...]
    plotting: Plotting

    @property
    def strays(self) -> float:
        """How far a batten runs from the true curve at most [mm]; 0 without a curve."""
        return max((curve.plot.strays for curve in self.curves), default=0.0)


class OffsetRow(Struct, frozen=True):
    """A point of a curve as a row of plain values.

    Args:
        curve: its number.
        point: number on the curve, from 1.
        left, front: where it is, from the datum edges [mm].
        left_marked, front_marked: the same as it is read on the rule [mm].
    """

    curve: int
    point: int
    left: float
    front: float
    left_marked: float
    front_marked: float


def outline_marks(board: ResolvedBoard, plotting: Plotting) -> OutlineMarks:
    """What has to be marked out of a board, its curves plotted in a way."""
    return _marks(board.outline, board.openings, plotting)


def offset_rows(marks: OutlineMarks) -> tuple[OffsetRow, ...]:
    """The table of offsets."""
    return tuple(
        OffsetRow(curve.number, k, *true, *marked)
        for curve in marks.curves
        for k, (true, marked) in enumerate(
            zip(curve.plot.true.tolist(), curve.plot.marked.tolist(), strict=True), start=1
        )
    )


@lru_cache(maxsize=16)
def _marks(outline: Outline, openings: tuple[Outline, ...], plotting: Plotting) -> OutlineMarks:
    x0, y0, x1, y1 = outline.bounds
    curves: list[MarkedCurve] = []
    lines: list[MarkedLine] = []
    for ring, loop in enumerate((outline, *openings)):
        first = len(curves) + 1
        found = list(_curves(loop, ring, (x0, y0, x1, y1), first, plotting))
        curves += found
        lines += _lines(loop, ring, (x0, y0), len(lines) + 1)
    return OutlineMarks(tuple(curves), tuple(lines), plotting)


def _curves(loop: Outline, ring: int, blank: Box, first: int, plotting: Plotting) -> Iterator[MarkedCurve]:
    corners, datum = loop.corners, blank[:2]
    count = len(corners)
    numbers = {i: first + k for k, i in enumerate(i for i in range(count) if loop.curves[i] is not None)}
    for i, piece in enumerate(loop.curves):
        if piece is None:
            continue
        before, here, after = corners[i - 1], corners[i], corners[(i + 1) % count]
        at, setback = (here.x, here.y), here.setback or (0.0, 0.0)
        curve = _conic(piece, at, datum)
        legs = (_leg((before.x, before.y), at, setback[0]), _leg(at, (after.x, after.y), setback[1]))
        following = loop.curves[(i + 1) % count]
        meets = count > 1 and following is not None and math.dist(piece.b, following.a) < _SAME
        circle = (_moved(piece.centre, datum), piece.radius) if isinstance(piece, ArcPiece) else None
        middle = tuple(curve.at(_HALF)[0].tolist())
        yield MarkedCurve(
            numbers[i], ring, curve.control, _within(at, blank), legs, (curve.a, curve.b), (middle[0], middle[1]),
            circle,
            numbers[(i + 1) % count] if meets else 0, plot(curve, plotting.spacing, plotting.readings),
        )  # fmt: skip


def _within(at: Point, blank: Box) -> bool:
    x0, y0, x1, y1 = blank
    return x0 - _SAME <= at[0] <= x1 + _SAME and y0 - _SAME <= at[1] <= y1 + _SAME


def _conic(piece: ArcPiece | EllipsePiece, corner: Point, datum: Point) -> Conic:
    """The curve of a corner, measured from the datum edges."""
    weight = piece.weight if isinstance(piece, EllipsePiece) else math.cos(math.radians(piece.sweep) / 2)
    return Conic(_moved(piece.a, datum), _moved(corner, datum), _moved(piece.b, datum), weight)


def _lines(loop: Outline, ring: int, datum: Point, first: int) -> Iterator[MarkedLine]:
    pieces = loop.pieces
    number = first
    for k, piece in enumerate(pieces):
        if not isinstance(piece, LinePiece) or _square(piece.a, piece.b):
            continue
        a, b = _moved(piece.a, datum), _moved(piece.b, datum)
        cut = _cut_corner(pieces[k - 1], piece, pieces[(k + 1) % len(pieces)], datum)
        ends = (a, b) if a[0] <= b[0] else (b, a)
        yield MarkedLine(number, ring, edge_of(piece.a, piece.b), ends, cut)
        number += 1


def _cut_corner(before: Piece, line: LinePiece, after: Piece, datum: Point) -> tuple[Point, tuple[Leg, Leg]] | None:
    """The corner of a level and an upright edge that a line cuts off."""
    if not (isinstance(before, LinePiece) and isinstance(after, LinePiece)):
        return None
    if not (_square(before.a, before.b) and _square(after.a, after.b)) or _level(before) == _level(after):
        return None
    corner = (line.b[0], line.a[1]) if _level(before) else (line.a[0], line.b[1])
    legs = (
        Leg(edge_of(before.a, before.b), True, math.dist(line.a, corner)),
        Leg(edge_of(after.a, after.b), True, math.dist(line.b, corner)),
    )
    return _moved(corner, datum), legs


def _leg(a: Point, b: Point, back: float) -> Leg:
    return Leg(edge_of(a, b), _square(a, b), back)


def _square(a: Point, b: Point) -> bool:
    across, along = abs(b[0] - a[0]), abs(b[1] - a[1])
    return min(across, along) <= _SQUARE * max(across, along)


def _level(piece: LinePiece) -> bool:
    return abs(piece.b[0] - piece.a[0]) > abs(piece.b[1] - piece.a[1])


def _moved(at: Point, datum: Point) -> Point:
    return (at[0] - datum[0], at[1] - datum[1])
