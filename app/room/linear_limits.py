"""Needs of one part alone that are linear wherever it is: straight edges, and a depth that changes along a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from app.fit.features.features import Flags, Floats, Ints
from app.geometry.outline import Outline, edge_of
from app.model.board import DepthPlane
from app.room.constraints import Constraints
from app.values import replace

_STRAIGHT = 1e-9
_CLEAR = 1e-6  # mm
_Part = tuple[Floats, Ints, Floats, Flags]


class LinearLimits(Struct, frozen=True, eq=False):
    """Linear needs.

    Args:
        slack: room beyond each need while nothing moves, shape (n,) [mm].
        unit: which moves, shape (n,).
        way: what the slack gains for each mm the unit moves, shape (n, 2).
        edge: which are edges of the board, shape (n,).
        sound: whether every board that meets all needs meets these: where these cannot be met, nothing can.
        whole: whether these are all the needs of one part alone.
    """

    slack: Floats
    unit: Ints
    way: Floats
    edge: Flags
    sound: bool
    whole: bool

    def lacking(self) -> set[int]:
        """Units that something of is too near."""
        return set(self.unit[self.slack < -_CLEAR].tolist())

    def growing(self, across: float, along: float) -> Floats:
        """What each gains for each mm that the board grows: half of ``across`` at each end, ``along`` at the back."""
        way = self.way
        gains = np.abs(way[:, 0]) * across / 2 + np.maximum(-way[:, 1], 0.0) * along
        found: Floats = np.where(self.edge, gains, 0.0)
        return found

    def of(self, units: Sequence[int]) -> LinearLimits:
        """Those of some units."""
        which = np.isin(self.unit, units)
        return replace(self, slack=self.slack[which], unit=self.unit[which], way=self.way[which], edge=self.edge[which])


def linear_limits_of(members: Sequence[Constraints]) -> LinearLimits:
    """The limits of some boards that share their units; edges only of outlines that are convex."""
    outlines = [g.layout.board.outline for g in members]
    convex = [is_convex(o) for o in outlines]
    closed = not any(g.layout.board.openings for g in members)
    square = all(is_square(o) for o in outlines)
    plain = not any(e.slot_depth or e.rail for g in members for e in g.layout.board.edges)
    parts: list[_Part] = [(np.zeros(0), np.zeros(0, np.intp), np.zeros((0, 2)), np.zeros(0, np.bool_))]
    for constraints, turns_left in zip(members, convex, strict=True):
        parts += _of_edges(constraints) if turns_left else ()
        parts += _of_depth(constraints)
    slack, unit, way, edges = (np.concatenate(column) for column in zip(*parts, strict=True))
    key = np.concatenate((unit[:, None], edges[:, None], np.round(way * 1e6)), axis=1)
    order = np.lexsort((slack, *key.T))
    fresh = np.concatenate(([True], (key[order][1:] != key[order][:-1]).any(axis=1)))[: len(order)]
    kept = order[fresh]
    # Past an obtuse corner a wider need of one edge ends in a round, which a straight wall cuts off.
    sound = all(convex) and closed and (square or plain)
    return LinearLimits(slack[kept], unit[kept], way[kept], edges[kept], sound, square and closed)


def is_convex(outline: Outline) -> bool:
    """Whether the corners turn one way only."""
    x, y = (np.array([getattr(c, axis) for c in outline.corners]) for axis in "xy")
    dx, dy = np.roll(x, -1) - x, np.roll(y, -1) - y
    return bool((dx * np.roll(dy, -1) - dy * np.roll(dx, -1) > -_STRAIGHT).all())


def is_square(outline: Outline) -> bool:
    """Whether it is an upright rectangle with sharp corners."""
    corners = outline.corners
    level = all(abs(a.x - b.x) < _STRAIGHT or abs(a.y - b.y) < _STRAIGHT for a, b in pairwise(corners))
    return len(corners) == 4 and level and not any(c.setback and min(c.setback) > 0 for c in corners)


def _of_edges(constraints: Constraints) -> Iterator[_Part]:
    corners = constraints.layout.board.outline.corners
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        length = float(np.hypot(b.x - a.x, b.y - a.y))
        inward = np.array([a.y - b.y, b.x - a.x]) / length
        edge = edge_of((a.x, a.y), (b.x, b.y))
        for need in constraints.inside:
            if need.edge in (edge, None):
                shapes = need.features.shapes
                depth = ((shapes.points - (a.x, a.y)) @ inward).min(axis=1) - shapes.radii
                yield _rows(constraints, depth - need.need, need.features.owner, inward, edge=True)


def _of_depth(constraints: Constraints) -> Iterator[_Part]:
    plane = constraints.layout.board.free_depth or DepthPlane(0.0, 0.0, 0.0)
    still = np.zeros((len(constraints.unit) + 1, 2))
    for need in constraints.above:
        slack, owner, _, _ = constraints.above_rows(need, still, np.inf)
        slope = np.array([plane.slope_x, plane.slope_y])
        yield _rows(constraints, slack, owner, slope / np.hypot(*slope), edge=False)


def _rows(constraints: Constraints, slack: Floats, owner: Ints, way: Floats, *, edge: bool) -> _Part:
    gains = np.tile(way, (len(owner), 1))
    gains[:, 0] *= constraints.sign[owner]
    return slack, constraints.unit[owner], gains, np.full(len(owner), edge)
