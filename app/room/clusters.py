"""Parts short of room, a cluster at a time: clusters that do not touch are searched by themselves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats
from app.room.branch import Search, SearchOutcome
from app.room.constraint_set import ConstraintSet

_CLEAR = 1e-4  # mm
_CLUSTERS_JOINED = 6  # times
_SHARE = 0.6  # of the time there is


class ClustersOutcome(Struct, frozen=True, eq=False):
    """What came of it.

    Args:
        moves: a clear way, shape (m, 2) [mm]; None if none was found.
        closed: whether the way is proven to be the shortest but for 2 %, or that there is none.
        stuck: units of the clusters for which no way was found.
    """

    moves: Floats | None
    closed: bool
    stuck: frozenset[int] = frozenset()


class Clusters:
    """Knots and what is known about them; what was searched once is not searched again with no more to spend."""

    def __init__(self, constraint_set: ConstraintSet) -> None:
        self._constraint_set = constraint_set
        self._known: dict[frozenset[int], tuple[SearchOutcome, int]] = {}

    def solve(self, budget: int) -> ClustersOutcome:
        """The shortest clear way of all parts, from the shortest of each cluster of them.

        Args:
            budget: linear programs to solve, about.
        """
        constraint_set, m = self._constraint_set, len(self._constraint_set.freedom)
        clusters = _clusters(constraint_set, m)
        for _ in range(_CLUSTERS_JOINED):
            if not constraint_set.more(_SHARE):
                break
            outcomes = [
                self._outcome(cluster, max(budget // max(1, len(clusters)), budget // 4)) for cluster in clusters
            ]
            stuck = [cluster for cluster, o in zip(clusters, outcomes, strict=True) if o.moves is None]
            if stuck:
                none = constraint_set.linear_limits.sound and any(o.bound == np.inf for o in outcomes)
                return ClustersOutcome(None, none, frozenset[int]().union(*stuck))
            moves = sum((o.moves for o in outcomes if o.moves is not None), np.zeros((m, 2)))
            joined = _joined(constraint_set, moves, clusters, outcomes)
            if joined == clusters:
                return ClustersOutcome(moves, constraint_set.linear_limits.sound and all(o.closed for o in outcomes))
            clusters = joined
        return ClustersOutcome(None, closed=False)

    def _outcome(self, cluster: frozenset[int], budget: int) -> SearchOutcome:
        if cluster in self._known:
            outcome, spent = self._known[cluster]
            if outcome.moves is not None or outcome.closed or spent >= budget:
                return outcome
        outcome = Search(self._constraint_set, cluster, budget).run()
        self._known[cluster] = outcome, budget
        return outcome


def _clusters(constraint_set: ConstraintSet, m: int) -> list[frozenset[int]]:
    """Units that are short of room, those together that are short of it between them."""
    still = np.zeros((m, 2))
    groups = [
        frozenset({u}) for u in sorted(constraint_set.linear_limits.lacking() | constraint_set.lacking_alone(still))
    ]
    return _merged([*groups, *_overlapping(constraint_set, still)])


def _overlapping(constraint_set: ConstraintSet, moves: Floats) -> list[frozenset[int]]:
    found = []
    for sides in constraint_set.sides:
        rows, _, _ = sides.near(moves, -_CLEAR)
        found += [frozenset(u for u in pair if u >= 0) for pair in sides.units[rows].tolist()]
    return found


def _joined(
    constraint_set: ConstraintSet, moves: Floats, clusters: list[frozenset[int]], outcomes: Sequence[SearchOutcome]
) -> list[frozenset[int]]:
    """The clusters, joined where what one moves runs into what another moves."""
    owner: dict[int, set[frozenset[int]]] = {}
    for cluster, outcome in zip(clusters, outcomes, strict=True):
        if outcome.moves is not None:
            for unit in {*cluster, *np.flatnonzero(np.abs(outcome.moves).max(axis=1) > _CLEAR).tolist()}:
                owner.setdefault(unit, set()).add(cluster)
    clashes = [pair for pair in _overlapping(constraint_set, moves) if any(u in owner for u in pair)]
    shared = [clusters_of for clusters_of in owner.values() if len(clusters_of) > 1]
    links = [frozenset().union(*(k for u in pair for k in owner.get(u, set()))) for pair in clashes]
    links += [frozenset().union(*clusters_of) for clusters_of in shared]
    return _merged([*clusters, *links])


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
