"""Rails and slots: strips along the straight pieces of the rim, and slots round set-back corners.

A strip lies on the board's side of its piece, as wide as the rail or as deep as the slot. Where two of them meet at a
sharp corner both are cut from the outer to the inner corner, along the bisector where they are as wide as each other;
every other end is square. Only what lies under the board counts.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from manifold3d import CrossSection, triangulate
from msgspec import Struct

from app.document.schema import BoardEntry
from tests.oracle.flat import Flat, Floats, after, apart, depth_in, depths_in, minkowski, to_segments
from tests.oracle.items import TIE
from tests.oracle.land import Depth, Land, Straight

FAR = 1e4


class Strip(Struct, frozen=True, eq=False):
    """A rail or a slot along one straight piece.

    Args:
        whole: the strip before it is cut off at the board's rim [mm].
        inward: unit vector into the board.
        edge: name of its edge.
        pieces: convex pieces of what lies under the board.
    """

    whole: Flat
    inward: Floats
    edge: str
    pieces: tuple[Flat, ...]

    @property
    def edges(self) -> frozenset[str]:
        """The edge it belongs to."""
        return frozenset((self.edge,))

    def clearance(self, thing: Flat, _: Land) -> Depth:
        """The gap to a thing [mm]; where they overlap, minus the least shift of the thing inward or sideways."""
        gap = min((apart(piece, thing) for piece in self.pieces), default=FAR)
        if gap > TIE:
            return Depth(gap, gap)
        # What of a thing hangs over the edge is off the strip already; it may be counted as if the strip went on there.
        beyond = _hull(np.concatenate((self.whole.core, self.whole.core - self.inward * FAR)))
        least, most = (-self._inward_shift(thing, core) for core in (self.whole.core, beyond))
        alone = len(self.pieces) == 1 and self.pieces[0] is self.whole
        # What just touches it may count as beside it, or as on it.
        return Depth(min(least, most, gap), least if alone and gap < -TIE else max(gap, least))

    def _inward_shift(self, thing: Flat, strip: Floats) -> float:
        """Least shift that takes a thing off a strip, never back over the edge [mm]; 0 if it is off it."""
        ring = minkowski(strip, -thing.polygon)
        if depth_in(np.zeros(2), ring) <= 0:
            return 0.0
        a, b = ring, after(ring)
        u, v = a @ self.inward, b @ self.inward
        keep = (u >= 0) | (v >= 0)
        a, b, u, v = a[keep], b[keep], u[keep], v[keep]
        t = np.where(u == v, 0.0, u / np.where(u == v, 1.0, u - v))[:, None]
        cut = a + t * (b - a)
        a, b = np.where((u < 0)[:, None], cut, a), np.where((v < 0)[:, None], cut, b)
        return float(to_segments(np.zeros((1, 2)), a, b).min())


class Curve(Struct, frozen=True, eq=False):
    """A slot round a set-back corner: all of the board within its depth of the bend, as far as a cutter reaches.

    Args:
        points: along the bend, shape (n, 2) [mm].
        edges: names of the two edges it joins.
        depth: of the slot [mm].
    """

    points: Floats
    edges: frozenset[str]
    depth: float

    def clearance(self, thing: Flat, land: Land) -> Depth:
        """The gap to a thing [mm]; where it lies over the rim too, between the rim's depth in it and the way in."""
        ring = thing.polygon
        near = min(
            float(to_segments(ring, self.points[:-1], self.points[1:]).min()),
            float(to_segments(self.points, ring, after(ring)).min()),
        )
        rim = land.outer.inside(thing, self.depth + 20.0)
        if rim is None or rim.low > -1e-9:
            return Depth(near - self.depth, near - self.depth)
        over = float(depths_in(self.points, ring).max()) >= -1e-3
        high = -self.depth if over else near - self.depth
        return Depth(min(high, rim.low - self.depth), high)


AnyStrip = Strip | Curve


def strips_of(board: BoardEntry, land: Land, what: Literal["rail", "slot_depth"]) -> list[AnyStrip]:
    """Every rail, or every slot, of a board."""
    wide = {name: float(getattr(getattr(board.edges, name), what)) for name in ("front", "right", "back", "left")}
    by_index = {s.index: s for s in land.rim.straights}
    n = len(land.rim.corners)
    found: list[AnyStrip] = []
    for straight in land.rim.straights:
        width = wide[straight.edge]
        if width <= 0:
            continue
        ends = []
        for corner, neighbour in ((straight.index, straight.index - 1), ((straight.index + 1) % n, straight.index + 1)):
            other = by_index.get(neighbour % n)
            joined = land.rim.bends[corner] is None and other is not None and wide[other.edge] > 0
            ends.append((other, wide[other.edge]) if joined and other else None)
        whole = Flat(_mitred(straight, width, ends[0], ends[1]), 0.0)
        found.append(Strip(whole, -straight.outward, straight.edge, _under(whole, land)))
    if what == "slot_depth":
        for bend in land.rim.bends:
            before, beyond = (by_index.get(k % n) for k in ((bend.index - 1, bend.index) if bend else (-1, -1)))
            if bend and before and beyond and wide[before.edge] > 0 and wide[beyond.edge] > 0:
                edges = frozenset((before.edge, beyond.edge))
                found.append(Curve(bend.points, edges, max(wide[e] for e in edges)))
    return found


def _mitred(
    piece: Straight, width: float, before: tuple[Straight, float] | None, after: tuple[Straight, float] | None
) -> Floats:
    """The strip under a piece, each end cut square, or from the outer to the inner corner with a neighbour."""
    inward = -piece.outward

    def square(at: Floats) -> Floats:
        return at + inward * width

    def inner(at: Floats, other: tuple[Straight, float] | None) -> Floats:
        """Where the inner line ends: square, or where it crosses that of the neighbour."""
        if other is None:
            return square(at)
        cross = float(inward[0] * -other[0].outward[1] + inward[1] * other[0].outward[0])
        if abs(cross) < 1e-6:  # one goes on from the other
            return square(at)
        crossing: Floats = np.linalg.solve(np.stack((inward, -other[0].outward)), np.array([width, other[1]]))
        return at + crossing

    a, b = piece.a, piece.b
    ai, bi = inner(a, before), inner(b, after)
    along = b - a
    across = float((bi - ai) @ along)
    if across <= 0:  # the two cuts meet before the full width
        share = float(along @ along) / (float(along @ along) - across)
        return np.array([a, b, a + share * (ai - a)])
    return np.array([a, b, bi, ai])


def _under(whole: Flat, land: Land) -> tuple[Flat, ...]:
    """What of a strip lies under the board, as convex pieces; the strip itself where that is all of it."""
    strip = CrossSection([whole.core.tolist()])
    kept = strip ^ land.rim.section
    if strip.area() - kept.area() < 1e-4:
        return (whole,)
    rings = kept.to_polygons()
    if not rings:
        return ()
    points = np.concatenate([np.asarray(r) for r in rings])
    return tuple(Flat(points[list(t)], 0.0) for t in triangulate(rings))


def _hull(points: Floats) -> Floats:
    """The convex hull, anticlockwise, by going along the lower side and back along the upper one."""
    rows = sorted(map(tuple, points.tolist()))

    def half(run: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
        kept: list[tuple[float, ...]] = []
        for p in run:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return np.array(half(rows) + half(rows[::-1]))


def _turn(o: tuple[float, ...], p: tuple[float, ...], q: tuple[float, ...]) -> float:
    return (p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0])
