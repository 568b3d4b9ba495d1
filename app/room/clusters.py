"""Parts short of room, a knot at a time: knots that do not touch are searched by themselves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from app.fit.features.features import Floats
from app.room.branch import Search, SearchOutcome
from app.room.constraint_set import ConstraintSet

_CLEAR = 1e-4  # mm
_KNOTS_JOINED = 6  # times
_SHARE = 0.6  # of the time there is


@dataclass(frozen=True, eq=False)
class Untangled:
    """What came of it.

    Args:
        moves: a clear way, shape (m, 2) [mm]; None if none was found.
        closed: whether the way is proven to be the shortest but for 2 %, or that there is none.
        stuck: units of the knots for which no way was found.
    """

    moves: Floats | None
    closed: bool
    stuck: frozenset[int] = frozenset()


class Tangle:
    """Knots and what is known about them; what was searched once is not searched again with no more to spend."""

    def __init__(self, ground: ConstraintSet) -> None:
        self._ground = ground
        self._known: dict[frozenset[int], tuple[SearchOutcome, int]] = {}

    def solve(self, budget: int) -> Untangled:
        """The shortest clear way of all parts, from the shortest of each knot of them.

        Args:
            budget: linear programs to solve, about.
        """
        ground, m = self._ground, len(self._ground.freedom)
        knots = _knots(ground, m)
        for _ in range(_KNOTS_JOINED):
            if not ground.more(_SHARE):
                break
            outcomes = [self._outcome(knot, max(budget // max(1, len(knots)), budget // 4)) for knot in knots]
            stuck = [knot for knot, o in zip(knots, outcomes, strict=True) if o.moves is None]
            if stuck:
                none = ground.walls.sound and any(o.bound == np.inf for o in outcomes)
                return Untangled(None, none, frozenset[int]().union(*stuck))
            moves = sum((o.moves for o in outcomes if o.moves is not None), np.zeros((m, 2)))
            joined = _joined(ground, moves, knots, outcomes)
            if joined == knots:
                return Untangled(moves, ground.walls.sound and all(o.closed for o in outcomes))
            knots = joined
        return Untangled(None, closed=False)

    def _outcome(self, knot: frozenset[int], budget: int) -> SearchOutcome:
        if knot in self._known:
            outcome, spent = self._known[knot]
            if outcome.moves is not None or outcome.closed or spent >= budget:
                return outcome
        outcome = Search(self._ground, knot, budget).run()
        self._known[knot] = outcome, budget
        return outcome


def _knots(ground: ConstraintSet, m: int) -> list[frozenset[int]]:
    """Units that are short of room, those together that are short of it between them."""
    still = np.zeros((m, 2))
    groups = [frozenset({u}) for u in sorted(ground.walls.lacking() | ground.lacking_alone(still))]
    return _merged([*groups, *_overlapping(ground, still)])


def _overlapping(ground: ConstraintSet, moves: Floats) -> list[frozenset[int]]:
    found = []
    for sides in ground.sides:
        rows, _, _ = sides.near(moves, -_CLEAR)
        found += [frozenset(u for u in pair if u >= 0) for pair in sides.units[rows].tolist()]
    return found


def _joined(
    ground: ConstraintSet, moves: Floats, knots: list[frozenset[int]], outcomes: Sequence[SearchOutcome]
) -> list[frozenset[int]]:
    """The knots, joined where what one moves runs into what another moves."""
    owner: dict[int, set[frozenset[int]]] = {}
    for knot, outcome in zip(knots, outcomes, strict=True):
        if outcome.moves is not None:
            for unit in {*knot, *np.flatnonzero(np.abs(outcome.moves).max(axis=1) > _CLEAR).tolist()}:
                owner.setdefault(unit, set()).add(knot)
    clashes = [pair for pair in _overlapping(ground, moves) if any(u in owner for u in pair)]
    shared = [knots_of for knots_of in owner.values() if len(knots_of) > 1]
    links = [frozenset().union(*(k for u in pair for k in owner.get(u, set()))) for pair in clashes]
    links += [frozenset().union(*knots_of) for knots_of in shared]
    return _merged([*knots, *links])


def _merged(groups: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """Groups that share a unit, as one."""
    merged: list[frozenset[int]] = []
    for group in groups:
        if not group:
            continue
        apart = [m for m in merged if not m & group]
        for other in merged:
            group |= other if other & group else frozenset()
        merged = [*apart, group]
    return sorted(merged, key=min)
