"""The pieces of a board's rim as arrays, and the distance of many points to them.

Lines and circular arcs are exact; an elliptic piece is chords no more than 0.0005 mm off.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from app.geometry.outline import EDGE_NAMES, ArcPiece, EdgeName, EllipsePiece, LinePiece, Outline, edge_of
from app.geometry.shapes import Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
Answer = tuple[Floats, Floats, Floats]
_SAG = 0.0005  # how far a chord of an elliptic piece may be from it [mm]
_TINY = 1e-12
_BLOCK = 64  # pieces looked at together: keeps the arrays of a curved rim small


@dataclass(frozen=True, eq=False)
class Rim:
    """The pieces of an outer outline and of inner openings.

    Args:
        lines: rows (ax, ay, bx, by) [mm].
        line_edges: index of the edge each line belongs to, −1 for an opening's.
        arcs: rows (cx, cy, radius, mid angle, half sweep, bulge) [mm, rad]; bulge is −1 where it bulges into the
            board, so that the board lies outside its circle, and 1 elsewhere.
        arc_edges: the same for the arcs.
        chords: the whole rim with a chord for each arc, rows as lines.
        caps: between each arc and its chord, rows (cx, cy, radius, ax, ay, bx, by, side); the arc is on the chord's
            right where side is 1, on its left where it is −1.
        convex: whether these are all pieces of a rim without openings that turns one way only.
    """

    lines: Floats
    line_edges: Ints
    arcs: Floats
    arc_edges: Ints
    chords: Floats
    caps: Floats
    convex: bool

    def of(self, edge: EdgeName | None) -> Rim:
        """Only the pieces of one edge of the outer outline; all of them for None."""
        if edge is None:
            return self
        wanted = EDGE_NAMES.index(edge)
        line, arc = self.line_edges == wanted, self.arc_edges == wanted
        return Rim(
            self.lines[line],
            self.line_edges[line],
            self.arcs[arc],
            self.arc_edges[arc],
            self.chords,
            self.caps,
            convex=False,
        )

    @property
    def bulges(self) -> Floats:
        """The arcs that bulge into the board."""
        return self.arcs[self.arcs[:, 5] < 0]

    def nearest(self, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats, Flags]:
        """Unsigned distance of points, the nearest point of the rim [mm], and whether on its board side, each (n,)."""
        best = np.full(x.shape, np.inf)
        nx, ny, side = np.zeros(x.shape), np.zeros(x.shape), np.zeros(x.shape, np.bool_)
        kinds = ((self.lines, _to_lines, _line_spans, _line_sides), (self.arcs, _to_arcs, _arc_spans, _arc_sides))
        for rows, ask, span, sides in kinds:
            for block in _blocks(rows):
                which = np.arange(len(x)) if len(rows) <= _BLOCK else _nearer(x, y, span(block), best)
                d, px, py = ask(x[which], y[which], block)
                k, at = d.argmin(axis=1), np.arange(len(which))
                d, px, py = d[at, k], px[at, k], py[at, k]
                closer = d < best[which]
                which = which[closer]
                best[which], nx[which], ny[which] = d[closer], px[closer], py[closer]
                side[which] = sides(x[which], y[which], block[k[closer]])
        return best, nx, ny, side

    @cached_property
    def _supports(self) -> tuple[Floats, Floats]:
        """Each line as (nx, ny, c), its inward normal and height; each arc's two ends as seen from its centre."""
        ax, ay, bx, by = self.lines.T
        length = np.hypot(bx - ax, by - ay)
        nx, ny = (ay - by) / length, (bx - ax) / length
        mid, half = self.arcs[:, 3], self.arcs[:, 4]
        ends = [np.cos(mid - half), np.sin(mid - half), np.cos(mid + half), np.sin(mid + half)]
        return np.stack((nx, ny, nx * ax + ny * ay)), np.stack(ends)

    def depths(self, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance of points inside a convex rim to it, and its nearest point; nan for those outside, each (n,).

        From inside, the nearest place of a convex rim is the foot on one of its lines, drawn out, or straight
        out from the centre of an arc to a point of that arc.
        """
        (nx, ny, c), (ux, uy, vx, vy) = self._supports
        px, py, rows = x[:, None], y[:, None], np.arange(len(x))
        heights = px * nx + py * ny - c
        k = heights.argmin(axis=1)
        d = heights[rows, k]
        fx, fy = x - d * nx[k], y - d * ny[k]
        if len(self.arcs):
            cx, cy, radius = self.arcs.T[:3]
            dx, dy = px - cx, py - cy
            swept = (ux * dy - uy * dx >= 0) & (dx * vy - dy * vx >= 0)
            out = np.hypot(dx, dy)
            gaps = np.where(swept, radius - out, np.inf)
            k = gaps.argmin(axis=1)
            nearer = np.flatnonzero(gaps[rows, k] < d)
            k = k[nearer]
            d[nearer] = gaps[nearer, k]
            scale = radius[k] / np.maximum(out[nearer, k], _TINY)
            fx[nearer], fy[nearer] = cx[k] + dx[nearer, k] * scale, cy[k] + dy[nearer, k] * scale
        return np.where(d >= 0, d, np.nan), fx, fy

    def contains(self, x: Floats, y: Floats) -> Flags:
        """Whether each point lies on the board, shape (n,)."""
        inside = np.zeros(x.shape, np.bool_)
        px, py = x[:, None], y[:, None]
        for block in _blocks(self.chords):
            ay, by = block[:, 1], block[:, 3]
            # A ray to the right crosses a chord; an odd number of crossings means inside.
            across = (ay > py) != (by > py)
            crossed = across & (_on_the_right(px, py, block) ^ (by > ay))
            inside ^= (crossed.sum(axis=1) & 1).astype(np.bool_)
        if len(self.caps):
            # Between an arc and its chord, the chords alone judge wrongly. What lies on the very chord must be on the
            # same side of it here and there, or it would be on the board by neither, or by both.
            cx, cy, radius = self.caps.T[:3]
            beside = _on_the_right(px, py, self.caps[:, 3:7]) == (self.caps[:, 7] > 0)
            between = beside & ((px - cx) ** 2 + (py - cy) ** 2 < radius**2)
            inside ^= (between.sum(axis=1) & 1).astype(np.bool_)
        return inside


@lru_cache(maxsize=64)
def rim_of(outline: Outline, openings: tuple[Outline, ...]) -> Rim:
    """The pieces of a board's boundary; kept, because a board is judged again and again while parts are moved."""
    lines: list[tuple[float, ...]] = []
    arcs: list[tuple[float, ...]] = []
    chords: list[tuple[float, ...]] = []
    caps: list[tuple[float, ...]] = []
    line_edges: list[int] = []
    arc_edges: list[int] = []
    for loop, outer in ((outline, True), *((o, False) for o in openings)):
        for piece in loop.pieces:
            if isinstance(piece, ArcPiece):
                # An opening runs counter-clockwise as the outline does, but the board is on its other side.
                arcs.append(_arc_row(piece, bulge=-1.0 if (piece.sweep < 0) == outer else 1.0))
                arc_edges.append(_edge(piece.a, piece.b, outer))
                chords.append((*piece.a, *piece.b))
                caps.append((*piece.centre, piece.radius, *piece.a, *piece.b, math.copysign(1.0, piece.sweep)))
                continue
            for a, b in pairwise(_points(piece)):
                lines.append((*a, *b))
                line_edges.append(_edge(a, b, outer))
                chords.append((*a, *b))
    return Rim(
        np.array(lines, np.float64).reshape(-1, 4),
        np.array(line_edges, np.intp),
        np.array(arcs, np.float64).reshape(-1, 6),
        np.array(arc_edges, np.intp),
        np.array(chords, np.float64).reshape(-1, 4),
        np.array(caps, np.float64).reshape(-1, 8),
        convex=not len(openings) and _turns_left(outline),
    )


def _turns_left(outline: Outline) -> bool:
    corners = outline.corners
    return all(
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) >= 0
        for a, b, c in zip(corners[-1:] + corners[:-1], corners, corners[1:] + corners[:1], strict=True)
    )


def _edge(a: Point, b: Point, outer: bool) -> int:
    return EDGE_NAMES.index(edge_of(a, b)) if outer else -1


def _arc_row(piece: ArcPiece, bulge: float) -> tuple[float, ...]:
    start = math.atan2(piece.a[1] - piece.centre[1], piece.a[0] - piece.centre[0])
    half = math.radians(piece.sweep) / 2
    return (*piece.centre, piece.radius, start + half, abs(half), bulge)


def _points(piece: LinePiece | EllipsePiece) -> list[Point]:
    """The ends of a line; the ends of an elliptic piece's chords."""
    if isinstance(piece, LinePiece):
        return [piece.a, piece.b]
    # The sag of n equal parameter steps falls as 1/n²; the hull's height bounds that of one step.
    height = max(math.dist(piece.a, piece.control), math.dist(piece.control, piece.b))
    n = max(4, math.ceil(math.sqrt(height / _SAG)))
    return [piece.a, *(piece.at(k / n) for k in range(1, n)), piece.b]


def _on_the_right(px: Floats, py: Floats, chords: Floats) -> Flags:
    """Whether each point lies on the right of each chord, rows (ax, ay, bx, by), shape (points, chords).

    A point on the very chord counts as just above it or, where it stands upright, to the right of it, as a ray to the
    right has it that is drawn a hair higher. No division, which would overflow for a chord that hardly rises.
    """
    ax, ay, bx, by = chords.T
    side = (px - ax) * (by - ay) - (py - ay) * (bx - ax)
    rises = (by > ay) | ((by == ay) & (bx < ax))
    right: Flags = np.where(rises, side >= 0, side > 0)
    return right


def _blocks(rows: Floats) -> list[Floats]:
    return [rows[start : start + _BLOCK] for start in range(0, len(rows), _BLOCK)]


def _line_spans(lines: Floats) -> Floats:
    """Smallest upright rectangle around lines, (x0, y0, x1, y1) [mm]."""
    ends = lines.reshape(-1, 2)
    return np.concatenate((ends.min(axis=0), ends.max(axis=0)))


def _arc_spans(arcs: Floats) -> Floats:
    """An upright rectangle around the arcs' whole circles, (x0, y0, x1, y1) [mm]."""
    cx, cy, r = arcs.T[:3]
    return np.array([(cx - r).min(), (cy - r).min(), (cx + r).max(), (cy + r).max()])


def _nearer(x: Floats, y: Floats, span: Floats, best: Floats) -> Ints:
    """The points that something inside ``span`` may be nearer to than ``best``."""
    out_x = np.maximum(np.maximum(span[0] - x, x - span[2]), 0.0)
    out_y = np.maximum(np.maximum(span[1] - y, y - span[3]), 0.0)
    return np.flatnonzero(np.hypot(out_x, out_y) < best)


def _to_lines(x: Floats, y: Floats, lines: Floats) -> Answer:
    ax, ay, bx, by = lines.T
    dx, dy = bx - ax, by - ay
    px, py = x[:, None] - ax, y[:, None] - ay
    t = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    fx, fy = ax + t * dx, ay + t * dy
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy


def _to_arcs(x: Floats, y: Floats, arcs: Floats) -> Answer:
    """To the nearest point of each arc: radially where the angle lies in the sweep, else to the nearer end."""
    cx, cy, radius, mid, half = arcs.T[:5]
    turn = np.arctan2(y[:, None] - cy, x[:, None] - cx) - mid
    turn = np.clip((turn + np.pi) % (2 * np.pi) - np.pi, -half, half)
    fx, fy = cx + radius * np.cos(mid + turn), cy + radius * np.sin(mid + turn)
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy


def _line_sides(x: Floats, y: Floats, lines: Floats) -> Flags:
    """Whether each point lies on the left of its line, where the board is; an opening's lines are never asked."""
    ax, ay, bx, by = lines.T
    left: Flags = (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
    return left


def _arc_sides(x: Floats, y: Floats, arcs: Floats) -> Flags:
    cx, cy, radius = arcs.T[:3]
    on_board: Flags = (np.hypot(x - cx, y - cy) <= radius) == (arcs[:, 5] > 0)
    return on_board
