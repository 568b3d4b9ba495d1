"""A board whose parts are shifted to and fro: how much room each need has left, and which way gives more."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from msgspec import Struct

from app.fit.features.features import Features, Flags, Floats, Ints
from app.fit.features.layout import Layout
from app.fit.judging.judge import ways_in
from app.geometry.clearance import ShapeSet, joined, narrowed
from app.model.board import DepthPlane
from app.room.degrees_of_freedom import DegreesOfFreedom
from app.room.needs import STAYS, Above, Apart, Inside, above_of, apart_of, inside_of
from app.values import replace

_Alone = TypeVar("_Alone", Inside, Above)


class LinearNeeds(Struct, frozen=True, eq=False):
    """Needs near enough to matter, linear about where the parts are.

    Args:
        slack: room beyond the need, negative where it is short, shape (n,) [mm].
        first: unit of one side, −1 if it stays, shape (n,).
        second: unit of the other, likewise.
        gains: what the slack gains for each mm the first and the second unit move, shape (n, 2, 2).
    """

    slack: Floats
    first: Ints
    second: Ints
    gains: Floats

    def __len__(self) -> int:
        return len(self.slack)


Lenient = Callable[[str, str, str], bool]
"""Whether a need of a rule about two placements (or one and an empty id) may stay as short as it is."""


class Constraints(Struct, frozen=True, eq=False):
    """The needs of one board and the units that move on it."""

    layout: Layout
    freedom: DegreesOfFreedom
    apart: tuple[Apart, ...]
    inside: tuple[Inside, ...]
    above: tuple[Above, ...]
    unit: Ints
    sign: Floats

    def rows(self, moves: Floats, reach: float) -> LinearNeeds:
        """Needs with less than ``reach`` mm of slack when the units are shifted by ``moves``, shape (m, 2) [mm]."""
        shift = self._shift(moves)
        found = [self.apart_rows(need, shift, reach) for need in self.apart]
        return self._linear([*found, *self._alone_rows(shift, reach)])

    def alone(self, moves: Floats, reach: float) -> LinearNeeds:
        """The same of the needs of one part alone: edges and depth."""
        return self._linear(self._alone_rows(self._shift(moves), reach))

    def _shift(self, moves: Floats) -> Floats:
        """How far each placement moves; the last is of what stays."""
        shift = np.zeros((len(self.unit) + 1, 2))
        moved = self.unit >= 0
        shift[:-1][moved] = moves[self.unit[moved]]
        shift[:-1, 0] *= self.sign
        return shift

    def _alone_rows(self, shift: Floats, reach: float) -> list[tuple[Floats, Ints, Ints, Floats]]:
        found = [self.inside_rows(need, shift, reach) for need in self.inside]
        return found + [self.above_rows(need, shift, reach) for need in self.above]

    def _linear(self, found: list[tuple[Floats, Ints, Ints, Floats]]) -> LinearNeeds:
        nothing = (np.zeros(0), np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros((0, 2)))
        slack, first, second, way = zip(nothing, *found, strict=True)
        return self._by_unit(*(np.concatenate(column) for column in (slack, first, second, way)))

    def _by_unit(self, slack: Floats, first: Ints, second: Ints, way: Floats) -> LinearNeeds:
        """Of needs along one line between the same two only the shortest, by unit."""
        key = np.round(way * 1e4).astype(np.int64)
        order = np.lexsort((slack, key[:, 1], key[:, 0], second, first))
        columns = np.stack((first, second, key[:, 0], key[:, 1]))[:, order]
        fresh = np.concatenate(([True], (columns[:, 1:] != columns[:, :-1]).any(axis=0)))[: len(order)]
        kept = order[fresh]
        slack, first, second, way = slack[kept], first[kept], second[kept], way[kept]
        signs = np.append(self.sign, 1.0)
        units = np.append(self.unit, STAYS)
        one, other = way.copy(), -way
        one[:, 0] *= signs[first]
        other[:, 0] *= signs[second]
        return LinearNeeds(slack, units[first], units[second], np.stack((one, other), axis=1))

    def apart_rows(self, need: Apart, shift: Floats, reach: float) -> tuple[Floats, Ints, Ints, Floats]:
        """Pairs with less slack than ``reach``: slack, both owners, and the way the first leaves the second."""
        a, b = _shifted(need.a, shift), _shifted(need.b, shift)
        i, j = need.first, need.second
        between = a.centres[i] - b.centres[j]
        bound = np.hypot(between[:, 0], between[:, 1]) - a.reaches[i] - b.reaches[j] - need.need
        near = np.flatnonzero(bound < reach)
        i, j = i[near], j[near]
        gaps = a.gaps(i, b, j)
        slack = gaps.distance - a.radii[i] - b.radii[j] - need.need[near]
        close = slack < reach
        return slack[close], need.a.owner[i][close], need.b.owner[j][close], -gaps.direction[close]

    def inside_rows(self, need: Inside, shift: Floats, reach: float) -> tuple[Floats, Ints, Ints, Floats]:
        """Features near an edge: slack, owner, what stays, and the way in."""
        features = Features(_shifted(need.features, shift), need.features.owner, need.features.kind)
        asked = need.need
        if not features.shapes.all_circles:  # circles about them are soon asked, and tell which are near at all
            n = len(features)
            around = ShapeSet(features.shapes.centres[:, None], np.ones(n, np.intp), features.shapes.reaches)
            far = self.layout.board.boundary.inside_distances(around, need.edge)[0] - asked
            near = far < reach if reach < np.inf else np.ones(n, np.bool_)
            features, asked = features.take(near), asked[near]
        distance, x, y = self.layout.board.boundary.inside_distances(features.shapes, need.edge)
        rows = np.flatnonzero(distance - asked < reach)
        ways = [w.toward for w in ways_in(features, rows.tolist(), distance, x, y)] if len(rows) else []
        toward = np.array(ways, np.float64).reshape(-1, 2)
        return (distance - asked)[rows], features.owner[rows], np.full(len(rows), STAYS), toward

    def distances(self, need: Inside, shift: Floats) -> tuple[Floats, Floats, Floats]:
        """How far inside features are with the placements shifted, and the nearest place of the edge [mm]."""
        return self.layout.board.boundary.inside_distances(_shifted(need.features, shift), need.edge)

    def above_rows(self, need: Above, shift: Floats, reach: float) -> tuple[Floats, Ints, Ints, Floats]:
        """Bodies over a sloping depth: slack, owner, what stays, and the way to where it is deeper."""
        plane = self.layout.board.free_depth or DepthPlane(0.0, 0.0, 1.0)
        points = _shifted(need.features, shift).points
        free = (plane.at_origin + plane.slope_x * points[..., 0] + plane.slope_y * points[..., 1]).min(axis=1)
        slope = float(np.hypot(plane.slope_x, plane.slope_y))
        slack = (free - need.need) / slope
        rows = np.flatnonzero(slack < reach)
        way = np.tile((plane.slope_x / slope, plane.slope_y / slope), (len(rows), 1))
        return slack[rows], need.features.owner[rows], np.full(len(rows), STAYS), way


def _shifted(features: Features, shift: Floats) -> ShapeSet:
    shapes = features.shapes
    return ShapeSet(shapes.points + shift[features.owner][:, None], shapes.counts, shapes.radii)


def constraints_of(layout: Layout, freedom: DegreesOfFreedom, lenient: Lenient) -> Constraints:
    """The needs of a board that moving can meet; a lenient one only asks for as much as there is."""
    unit, sign = freedom.of(layout.ids)
    bare = Constraints(layout, freedom, (), (), (), unit, sign)
    still, ids = np.zeros((len(unit) + 1, 2)), (*layout.ids, "")

    def eased(need: Floats, rule: str, rows: tuple[Floats, Ints, Ints, Floats]) -> Floats:
        let = [lenient(rule, ids[i], ids[j]) for i, j in zip(rows[1].tolist(), rows[2].tolist(), strict=True)]
        found: Floats = need + np.where(np.array(let, np.bool_), np.minimum(rows[0], 0.0), 0.0)
        return found

    apart = [_free(need, _moving(freedom, unit, sign, *need.owners())) for need in apart_of(layout)]
    alone = [_kept(need, unit[need.features.owner] >= 0) for need in inside_of(layout)]
    above = [_kept(need, unit[need.features.owner] >= 0) for need in above_of(layout)]
    inside = [need for need in alone if len(need.need) and np.isfinite(bare.distances(need, still)[0]).all()]
    return replace(
        bare,
        apart=tuple(replace(n, need=eased(n.need, n.rule, bare.apart_rows(n, still, np.inf))) for n in apart),
        inside=_merged([replace(n, need=eased(n.need, n.rule, bare.inside_rows(n, still, np.inf))) for n in inside]),
        above=tuple(replace(n, need=eased(n.need, n.rule, bare.above_rows(n, still, np.inf))) for n in above),
    )


def _merged(needs: list[Inside]) -> tuple[Inside, ...]:
    """One need for all circles at an edge and one for all else: few questions of many features are soon answered."""
    merged = []
    for edge in dict.fromkeys(need.edge for need in needs):
        here = [need for need in needs if need.edge == edge]
        features, asked = here[0].features, np.concatenate([need.need for need in here])
        for other in here[1:]:
            features = Features(
                joined(features.shapes, other.features.shapes),
                np.concatenate((features.owner, other.features.owner)),
                np.concatenate((features.kind, other.features.kind)),
            )
        for which in (features.shapes.circular, ~features.shapes.circular):
            some = features.take(which)
            if len(some):
                merged.append(Inside("", replace(some, shapes=narrowed(some.shapes)), asked[which], edge))
    return tuple(merged)


def _moving(freedom: DegreesOfFreedom, unit: Ints, sign: Floats, first: Ints, second: Ints) -> Flags:
    """Which pairs can move against each other: not both still, nor both of one unit that keeps them as they are."""
    units, signs = np.append(unit, STAYS), np.append(sign, 1.0)
    one, other = units[first], units[second]
    upright = np.append(np.array(freedom.upright, np.bool_), True)
    together = (one == other) & ((signs[first] == signs[second]) | upright[one])
    moving: Flags = ((one >= 0) | (other >= 0)) & ~together
    return moving


def _free(need: Apart, keep: Flags) -> Apart:
    return replace(need, first=need.first[keep], second=need.second[keep], need=need.need[keep])


def _kept(need: _Alone, keep: Flags) -> _Alone:
    return replace(need, features=need.features.take(keep), need=need.need[keep])
