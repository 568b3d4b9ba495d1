"""All needs of some boards that share their units, and linear programs over them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import Flags, Floats, Ints
from app.room.constraints import Constraints
from app.room.degrees_of_freedom import DegreesOfFreedom
from app.room.linear_limits import LinearLimits, linear_limits_of
from app.room.linear_program import Entries, Program, cheapest
from app.room.no_fit import Sides, sides_of
from app.room.solve import Patience, directions_of, endless

_CLEAR = 1e-6  # mm
_REACH = 6.0  # mm: pairs nearer than this are minded
_DIRECTIONS = 16  # a length is a sum of so many directions
_DEAR = 1000.0  # mm of shift that 1 mm of board costs
_SHORT = math.cos(math.pi / _DIRECTIONS)  # such a sum is at most so much too long

Pair = tuple[int, int]
"""Index of a set of sides, and the row in it."""


class PairLimit(Struct, frozen=True, eq=False):
    """What two units gain, ``gains[0]·first + gains[1]·second``, is at least ``least`` mm; −1 for what stays."""

    units: tuple[int, int]
    gains: Floats
    least: float


class Least(Struct, frozen=True, eq=False):
    """The least cost or a little less, the shift of the units, shape (m, 2), and how much the board grew [mm]."""

    cost: float
    moves: Floats
    grown: float


class ConstraintSet(Struct, frozen=True, eq=False):
    """All needs of some boards that share their units, prepared for the search."""

    members: Sequence[Constraints]
    freedom: DegreesOfFreedom
    sides: tuple[Sides, ...]
    linear_limits: LinearLimits
    more: Patience = endless

    def worst(self, moves: Floats, among: Flags) -> tuple[Pair, float, Floats] | None:
        """The pair of some units violated most, by how much [mm], and its way out; None if none is."""
        found = None
        for k, sides in enumerate(self.sides):
            rows, slack, gains = _of(sides, among, *sides.near(moves, -_CLEAR))
            if len(rows) and (found is None or slack.min() < -found[1]):
                at = int(slack.argmin())
                found = (k, int(rows[at])), -float(slack[at]), gains[at]
        return found

    def tangents(self, moves: Floats, among: Flags) -> tuple[list[PairLimit], float]:
        """Needs of some units near where they are, linear there; and the worst lack of them, at least 0 [mm]."""
        cuts, lack = self._pair_cuts(moves, among)
        if not self.linear_limits.whole:
            for constraints in self.members:
                bends = constraints.alone(moves, _REACH)
                mine = among[bends.first]
                lack = max(lack, -float(bends.slack[mine].min(initial=0.0)))
                for unit, gains, spare in zip(
                    bends.first[mine].tolist(), bends.gains[mine], bends.slack[mine], strict=True
                ):
                    cuts.append(_cut((unit, -1), gains, float(spare), moves))
        slack = self._linear_slack(moves)[among[self.linear_limits.unit]]
        return cuts, max(lack, -float(slack.min(initial=0.0)))

    def near_cuts(self, moves: Floats) -> list[PairLimit]:
        """The same of all units, but only of pairs."""
        return self._pair_cuts(moves, np.ones(len(self.freedom), np.bool_))[0]

    def _pair_cuts(self, moves: Floats, among: Flags) -> tuple[list[PairLimit], float]:
        cuts, lack = [], 0.0
        for sides in self.sides:
            rows, slack, normals = _of(sides, among, *sides.near(moves, _REACH))
            lack = max(lack, -float(slack.min(initial=0.0)))
            for units, gains, spare in zip(sides.units[rows].tolist(), sides.gains(rows, normals), slack, strict=True):
                cuts.append(_cut((units[0], units[1]), gains, float(spare), moves))
        return cuts, lack

    def lacking_alone(self, moves: Floats) -> set[int]:
        """Units that are short of room by themselves where linear limits do not tell."""
        members = () if self.linear_limits.whole else self.members
        return {u for g in members for u in g.alone(moves, -_CLEAR).first.tolist()}

    def lack(self, moves: Floats) -> float:
        """The worst lack of any need with the units shifted, at least 0 [mm]."""
        lack = 0.0
        for sides in self.sides:
            lack = max(lack, -float(sides.near(moves, 0.0)[1].min(initial=0.0)))
        for constraints in () if self.linear_limits.whole else self.members:
            lack = max(lack, -float(constraints.alone(moves, 0.0).slack.min(initial=0.0)))
        return max(lack, -float(self._linear_slack(moves).min(initial=0.0)))

    def _linear_slack(self, moves: Floats) -> Floats:
        """Room beyond each linear limit with the units shifted, shape (n,) [mm]."""
        limits = self.linear_limits
        slack: Floats = limits.slack + (limits.way * moves[limits.unit]).sum(axis=1)
        return slack

    def short_of_room(self) -> list[int]:
        """The units that something is too near to, while nothing moves."""
        still = np.zeros((len(self.freedom), 2))
        pairs = [s.units[s.near(still, -_CLEAR)[0]].ravel().tolist() for s in self.sides]
        short = self.linear_limits.lacking() | self.lacking_alone(still) | {u for some in pairs for u in some}
        return sorted(short - {-1})

    def least(
        self, cuts: Sequence[PairLimit], also: frozenset[int], growing: tuple[float, float] | None = None
    ) -> Least | None:
        """The shift of units that meets the cuts and the linear limits at the least cost; None if none does.

        Args:
            cuts: what is to be met.
            also: units that may move besides those of the cuts.
            growing: how the board may grow, across and along; dearer than any shift. None if it may not.

        Raises:
            UnsolvedError: it was not found out.
        """
        touched = sorted({u for cut in cuts for u in cut.units if u >= 0} | also)
        linear, m = self.linear_limits.of(touched), len(touched)
        gains = self._gains(touched, linear, cuts)
        limits = np.concatenate((-linear.slack, [cut.least for cut in cuts]))
        directions = directions_of(_DIRECTIONS)
        most = np.full((m, len(directions)), np.inf)
        upright = np.array([self.freedom.upright[u] for u in touched], np.bool_)
        most[np.ix_(upright, directions[:, 0] != 0)] = 0.0
        costs = np.repeat(self.freedom.weights[touched], len(directions))
        growth = np.zeros(len(limits))
        growth[: len(linear.slack)] = linear.growing(*growing or (0.0, 0.0))
        matrix = np.column_stack(((gains @ directions.T).reshape(len(limits), most.size), growth))
        down, across = np.nonzero(matrix)
        program = Program(
            costs=np.append(costs, _DEAR),
            most=np.append(most.ravel(), np.inf if growing else 0.0),
            sums=Entries(down, across, matrix[down, across]),
            lower=limits,
            upper=np.full(len(limits), np.inf),
        )
        amounts = cheapest(program)
        if amounts is None:
            return None
        moves = np.zeros((len(self.freedom), 2))
        moves[touched] = amounts[:-1].reshape(m, -1) @ directions
        return Least(float(costs @ amounts[:-1]) * _SHORT, moves, float(amounts[-1]))

    def _gains(self, touched: list[int], linear: LinearLimits, cuts: Sequence[PairLimit]) -> Floats:
        """What linear limits, then cuts, gain for each mm the touched units move, shape (n, m, 2)."""
        column = {u: k for k, u in enumerate(touched)}
        gains = np.zeros((len(linear.slack) + len(cuts), len(touched), 2))
        gains[np.arange(len(linear.slack)), np.searchsorted(touched, linear.unit)] = linear.way
        for row, cut in enumerate(cuts, len(linear.slack)):
            for unit, gain in zip(cut.units, cut.gains, strict=True):
                if unit >= 0:
                    gains[row, column[unit]] += gain
        return gains


def _of(sides: Sides, among: Flags, rows: Ints, slack: Floats, gains: Floats) -> tuple[Ints, Floats, Floats]:
    """Only pairs of which some unit is among those; what stays is not."""
    which = np.append(among, False)[sides.units[rows]].any(axis=1)  # the last is −1, of what stays
    return rows[which], slack[which], gains[which]


def _cut(units: tuple[int, int], gains: Floats, slack: float, moves: Floats) -> PairLimit:
    already = sum(float(gain @ moves[u]) for u, gain in zip(units, gains, strict=True) if u >= 0)
    return PairLimit(units, gains, already - slack)


def constraint_set_of(
    members: Sequence[Constraints], freedom: DegreesOfFreedom, more: Patience = endless
) -> ConstraintSet:
    """All needs of some boards that share their units."""
    return ConstraintSet(members, freedom, sides_of(members), linear_limits_of(members), more)
