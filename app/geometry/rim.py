"""The pieces of a board's rim as arrays, and the distance of many points to them.

Lines and circular arcs are exact; an elliptic piece is chords no more than 0.0005 mm off.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.geometry.outline import EDGE_NAMES, EdgeName, Outline, edge_of
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece
from app.geometry.rim_rows import (
    BLOCK,
    Flags,
    Floats,
    Ints,
    arc_sides,
    arc_spans,
    blocks,
    line_sides,
    line_spans,
    nearer,
    to_arcs,
    to_lines,
)
from app.geometry.shapes import Point
from app.values import replace

_SAG = 0.0005  # how far a chord of an elliptic piece may be from it [mm]
_TINY = 1e-12
_SQUARE = 1e-5  # a line that leans no more, 0.01 mm in 1 m, counts as level or upright
_SLIVER = 1e-6  # degrees: no part of an arc is shorter
JOIN = 1e-9  # of its radius, how far past the end of an arc still counts as its end


class Rim(Struct, frozen=True, eq=False, dict=True):
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
    def square(self) -> Rim:
        """Only its straight pieces that are level or upright, as near as a builder lays a square."""
        ax, ay, bx, by = self.lines.T
        across, along = np.abs(bx - ax), np.abs(by - ay)
        flat = np.minimum(across, along) <= _SQUARE * np.maximum(across, along)
        return replace(
            self,
            lines=self.lines[flat],
            line_edges=self.line_edges[flat],
            arcs=self.arcs[:0],
            arc_edges=self.arc_edges[:0],
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
        kinds = ((self.lines, to_lines, line_spans, line_sides), (self.arcs, to_arcs, arc_spans, arc_sides))
        for rows, ask, span, sides in kinds:
            for block in blocks(rows):
                which = np.arange(len(x)) if len(rows) <= BLOCK else nearer(x, y, span(block), best)
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
        """Each line as (nx, ny, c), its inward normal and height; each arc's middle and two ends from its centre."""
        ax, ay, bx, by = self.lines.T
        length = np.hypot(bx - ax, by - ay)
        nx, ny = (ay - by) / length, (bx - ax) / length
        mid, half = self.arcs[:, 3], self.arcs[:, 4]
        ways = [way(angle) for angle in (mid - half, mid + half, mid) for way in (np.cos, np.sin)]
        return np.stack((nx, ny, nx * ax + ny * ay)), np.stack(ways)

    def depths(self, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance of points inside a convex rim to it, and its nearest point; nan for those outside, each (n,).

        From inside, the nearest place of a convex rim is the foot on one of its lines, drawn out, or straight
        out from the centre of an arc to a point of that arc. A rim may be all lines, or all arcs.
        """
        (nx, ny, c), (ux, uy, vx, vy, mx, my) = self._supports
        px, py, rows = x[:, None], y[:, None], np.arange(len(x))
        d, fx, fy = np.full(len(x), np.inf), np.zeros(len(x)), np.zeros(len(x))
        if len(self.lines):
            heights = px * nx + py * ny - c
            k = heights.argmin(axis=1)
            d = heights[rows, k]
            fx, fy = x - d * nx[k], y - d * ny[k]
        if len(self.arcs):
            cx, cy, radius = self.arcs.T[:3]
            dx, dy = px - cx, py - cy
            # Where two arcs join, rounding must not leave a point between them: it is straight out from both.
            near = -JOIN * radius
            swept = (ux * dy - uy * dx >= near) & (dx * vy - dy * vx >= near) & (dx * mx + dy * my >= near)
            out = np.hypot(dx, dy)
            gaps = np.where(swept, radius - out, np.inf)
            k = gaps.argmin(axis=1)
            nearer = np.flatnonzero(gaps[rows, k] < d)
            k = k[nearer]
            d[nearer] = gaps[nearer, k]
            # From the centre itself the rim is as near everywhere: its middle stands for it.
            far, at_centre = out[nearer, k], out[nearer, k] < _TINY * radius[k]
            wx = np.where(at_centre, mx[k], dx[nearer, k] / np.where(at_centre, 1.0, far))
            wy = np.where(at_centre, my[k], dy[nearer, k] / np.where(at_centre, 1.0, far))
            fx[nearer], fy[nearer] = cx[k] + wx * radius[k], cy[k] + wy * radius[k]
        return np.where(d >= 0, d, np.nan), fx, fy

    def contains(self, x: Floats, y: Floats) -> Flags:
        """Whether each point lies on the board, shape (n,)."""
        inside = np.zeros(x.shape, np.bool_)
        px, py = x[:, None], y[:, None]
        for block in blocks(self.chords):
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
                # An opening runs anticlockwise as the outline does, but the board is on its other side.
                for part in _parts(piece):
                    arcs.append(_arc_row(part, bulge=-1.0 if (piece.sweep < 0) == outer else 1.0))
                    arc_edges.append(_edge(part.a, part.b, outer))
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


def _parts(arc: ArcPiece) -> list[ArcPiece]:
    """An arc cut where its normal turns from one edge to the next, so that each part belongs to one edge."""
    (cx, cy), start, sweep = arc.centre, math.atan2(arc.a[1] - arc.centre[1], arc.a[0] - arc.centre[0]), arc.sweep
    turns = ((math.pi / 4 + k * math.pi / 2 - start) * (1 if sweep > 0 else -1) % (2 * math.pi) for k in range(4))
    cuts = sorted(math.degrees(turn) for turn in turns)
    inner = [cut for cut in cuts if _SLIVER < cut < abs(sweep) - _SLIVER]
    if not inner:
        return [arc]

    def at(turned: float) -> Point:
        angle = start + math.copysign(math.radians(turned), sweep)
        return (cx + arc.radius * math.cos(angle), cy + arc.radius * math.sin(angle))

    points = [arc.a, *(at(cut) for cut in inner), arc.b]
    steps = [math.copysign(b - a, sweep) for a, b in pairwise([0.0, *inner, abs(sweep)])]
    return [ArcPiece(a, b, arc.centre, arc.radius, step) for (a, b), step in zip(pairwise(points), steps, strict=True)]


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
