"""How far a line of a file is from where the model has it: from a cut's rim, an opening's, the board's.

The distance of points all along the line says that it nowhere leaves the rim; the area it encloses says that it
covers all of it and lies on the right side. Both are exact but for elliptic corners, which are followed by chords
within 0.0005 mm.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.geometry.outline import Outline
from app.geometry.pieces import ArcPiece, EllipsePiece, Piece
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.proof.curves import Point, Trace
from app.proof.wanted import Operation, WantedCut
from app.values import replace

Array = npt.NDArray[np.float64]

_CHORDS = 400
_RUN = 100  # chords that are looked at together
_AGAIN = 2e-6  # mm: drawings round to the sixth decimal, so that nearer lines may have become one


class RimLine(Struct, frozen=True, dict=True):
    """The closed line around something.

    Args:
        operation: what it is the rim of.
        words: what it is, for a message.
        chords: straight pieces of the line it is parallel to, as rows x0, y0, x1, y1 [mm].
        arcs: circular pieces of that line: centre, radius, start and sweep [mm, radians].
        apart: how far from that line the rim is [mm].
        area: enclosed by the rim [mm²].
        length: once round the rim, roughly [mm].
        cut: the cut it is the rim of; None of an opening or the outline.
        again: whether it lies exactly on one before it. Such a line is drawn once, and may be drawn twice.
    """

    operation: Operation
    words: str
    chords: Array
    arcs: tuple[tuple[Point, float, float, float], ...]
    apart: float
    area: float
    length: float
    cut: WantedCut | None = None
    again: bool = False

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """A rectangle (x0, y0, x1, y1) that nothing of it reaches out of [mm]."""
        rows = [self.chords[:, :2], self.chords[:, 2:]]
        rows += [np.array([[x - r, y - r], [x + r, y + r]]) for (x, y), r, _, _ in self.arcs]
        corners = np.vstack(rows)
        (x0, y0), (x1, y1) = corners.min(axis=0) - self.apart, corners.max(axis=0) + self.apart
        return float(x0), float(y0), float(x1), float(y1)

    def difference(self, trace: Trace) -> float:
        """How far a line is from this rim: at its worst point, or on average if it covers another area [mm]."""
        away = float(np.abs(self.distances(np.array(trace.points())) - self.apart).max())
        return max(away, abs(trace.area - self.area) / self.length)

    def distances(self, points: Array) -> Array:
        """Distance of each point from the line the rim is parallel to [mm]."""
        best = _within(points, self.chords)
        for (x, y), radius, start, sweep in self.arcs:
            dx, dy = points[:, 0] - x, points[:, 1] - y
            turned = np.mod((np.arctan2(dy, dx) - start) * math.copysign(1.0, sweep), 2 * math.pi)
            on = (turned <= abs(sweep) + 1e-7) | (turned >= 2 * math.pi - 1e-7)
            best = np.where(on, np.minimum(best, np.abs(np.hypot(dx, dy) - radius)), best)
        return best

    def encloses(self, at: Point) -> bool:
        """Whether a point lies inside the line the rim is parallel to, by what every chord and arc turns about it."""
        turned = 0.0
        for x0, y0, x1, y1 in self.chords:
            turned += _turn((x0 - at[0], y0 - at[1]), (x1 - at[0], y1 - at[1]))
        for (x, y), radius, start, sweep in self.arcs:
            steps = [start + sweep * k / 16 for k in range(17)]
            ends = [(x + radius * math.cos(s) - at[0], y + radius * math.sin(s) - at[1]) for s in steps]
            turned += sum(_turn(a, b) for a, b in pairwise(ends))
        return abs(turned) > math.pi

    @cached_property
    def samples(self) -> Array:
        """Points of the line it is parallel to, for asking whether a page shows any of it."""
        rows = [self.chords[:, :2], (self.chords[:, :2] + self.chords[:, 2:]) / 2] if len(self.chords) else []
        rows += [
            np.array([[x + r * math.cos(s + t / 2), y + r * math.sin(s + t / 2)]]) for (x, y), r, s, t in self.arcs
        ]
        return np.vstack(rows)

    def repeats(self, other: RimLine) -> bool:
        """Whether it is the same line as another, whatever corner each begins at."""
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = self.box, other.box
        beside = max(ax0 - bx1, bx0 - ax1, ay0 - by1, by0 - ay1) > _AGAIN
        if beside or abs(self.area - other.area) > _AGAIN * self.length:
            return False
        away = np.abs(np.concatenate((self.distances(other.samples), other.distances(self.samples))))
        return bool(away.max() <= _AGAIN)


def _within(points: Array, chords: Array) -> Array:
    """Distance of each point from the nearest of some chords, shape (n,); infinite where there are none [mm].

    The chords are looked at in runs, each only for the points that it may be nearest to: a rim of hundreds of elliptic
    corners has a hundred thousand of them.
    """
    runs = [chords[start : start + _RUN] for start in range(0, len(chords), _RUN)]
    best = np.full(len(points), np.inf)
    for run in runs:  # a bound from above, so that most runs are out of question
        best = np.minimum(best, np.hypot(points[:, 0] - run[0, 0], points[:, 1] - run[0, 1]))
    best *= 1 + 1e-12
    for run in runs:
        ends = run.reshape(-1, 2)
        out = np.maximum(np.maximum(ends.min(axis=0) - points, points - ends.max(axis=0)), 0.0)
        which = np.flatnonzero(np.hypot(out[:, 0], out[:, 1]) <= best)
        a, ahead = run[:, :2], run[:, 2:] - run[:, :2]
        square = np.maximum((ahead**2).sum(axis=1), 1e-30)
        away = points[which, None, :] - a[None, :, :]
        share = np.clip((away * ahead[None]).sum(axis=2) / square, 0.0, 1.0)
        apart = np.hypot(*np.moveaxis(away - share[..., None] * ahead[None], 2, 0)).min(axis=1)
        best[which] = np.minimum(best[which], apart)
    return best


def cut_rim(cut: WantedCut) -> RimLine:
    """The rim of a cut that is not round: its core's sides, grown by its radius."""
    core, r = cut.core, cut.radius
    sides = [(core[k], core[(k + 1) % len(core)]) for k in range(len(core) if len(core) > 2 else 1)]
    chords = np.array([(*a, *b) for a, b in sides])
    once = sum(math.dist(a, b) for a, b in sides) * (2 if len(core) == 2 else 1)
    inner = sum(a[0] * b[1] - b[0] * a[1] for a, b in sides) / 2 if len(core) > 2 else 0.0
    # Steiner's formula for a convex body grown by r.
    area, length = abs(inner) + once * r + math.pi * r * r, once + 2 * math.pi * r
    return RimLine(cut.operation, cut.words, chords, (), r, area, length, cut, cut.again)


def board_rims(board: ResolvedBoard, face: Face, kerf: float = 0.0) -> tuple[RimLine, ...]:
    """The outline, larger by half a kerf, and the inner openings, as much smaller; marked if on another."""
    found = [_rim("outline", "outline", board.outline, board, face, kerf / 2)]
    for k, opening in enumerate(board.openings, 1):
        rim = _rim("opening", f"opening {k}", opening, board, face, -kerf / 2)
        found.append(replace(rim, again=any(map(rim.repeats, found[1:]))))
    return tuple(found)


def _rim(operation: Operation, words: str, outline: Outline, board: ResolvedBoard, face: Face, by: float) -> RimLine:
    x0, _, x1, _ = board.outline.bounds
    chords: list[tuple[float, ...]] = []
    arcs: list[tuple[Point, float, float, float]] = []
    area = length = 0.0
    for piece in outline.pieces:
        lines = _lines(piece)
        swept, once = sum(_cross(a, b) for a, b in lines) / 2, sum(math.dist(a, b) for a, b in lines)
        if isinstance(piece, ArcPiece):
            turn, (cx, cy) = math.radians(piece.sweep), piece.centre
            start = math.atan2(piece.a[1] - cy, piece.a[0] - cx)
            swept += piece.radius**2 * (turn - math.sin(turn)) / 2
            once = piece.radius * abs(turn)
            mirrored = ((x0 + x1 - cx, cy), piece.radius, math.pi - start, -turn)
            arcs.append(mirrored if face == "under" else (piece.centre, piece.radius, start, turn))
        else:
            chords += [(*_seen(a, x0 + x1, face), *_seen(b, x0 + x1, face)) for a, b in lines]
        area, length = area + swept, length + once
    area += length * by + _corners(outline, by)
    rows = np.array(chords).reshape(-1, 4)
    return RimLine(operation, words, rows, tuple(arcs), abs(by), area, length + 2 * math.pi * by)


def _lines(piece: Piece) -> list[tuple[Point, Point]]:
    if not isinstance(piece, EllipsePiece):
        return [(piece.a, piece.b)]
    points = [piece.at(k / _CHORDS) for k in range(_CHORDS + 1)]
    return list(pairwise(points))


def _corners(outline: Outline, by: float) -> float:
    """What a parallel at the distance ``by`` covers more than length times distance [mm²].

    Rounded, a turn of θ adds by²·θ/2; sharp, where no cutter fits in, by²·tan(θ/2). All turns add up to 2π.
    """
    rest, sharp = 2 * math.pi, 0.0
    pieces = outline.pieces
    for before, after in zip((pieces[-1], *pieces), pieces, strict=False):
        (ux, uy), (vx, vy) = _direction(before, end=True), _direction(after, end=False)
        turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
        if abs(turn) > 1e-9 and turn * by < 0:
            rest, sharp = rest - turn, sharp + math.tan(turn / 2)
    return by * by * (rest / 2 + sharp)


def _direction(piece: Piece, *, end: bool) -> Point:
    if isinstance(piece, ArcPiece):
        at = piece.b if end else piece.a
        side = math.copysign(1.0, piece.sweep)
        return (-side * (at[1] - piece.centre[1]), side * (at[0] - piece.centre[0]))
    middle = piece.control if isinstance(piece, EllipsePiece) else (piece.a if end else piece.b)
    a, b = (middle, piece.b) if end else (piece.a, middle)
    return (b[0] - a[0], b[1] - a[1])


def _seen(p: Point, both: float, face: Face) -> Point:
    return (both - p[0], p[1]) if face == "under" else p


def _turn(a: Point, b: Point) -> float:
    return math.atan2(_cross(a, b), a[0] * b[0] + a[1] * b[1])


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - b[0] * a[1]
