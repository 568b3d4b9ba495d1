"""Where the search looks: from where the parts are, on every side of each other, and from starts thrown by a die."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats
from app.room.bound import are_too_many
from app.room.clusters import Clusters
from app.room.constraint_set import ConstraintSet
from app.room.degrees_of_freedom import DegreesOfFreedom
from app.room.random_starts import scattered
from app.room.solve import Moves, descend

_BUDGET = 140  # linear programs: about 1.5 ms each
_MORE = 3  # times as many where the first found no way and no proof
_FEW = 4  # parts short of room: so few are tried from some starts more
_MANY = 10  # parts: of more only so much is tried, as each try takes its time
_JITTERS = (4.0, 8.0, 16.0, 30.0) * 2  # mm: how far from where they are the starts lie
_WILD = (16.0, 30.0, 60.0)  # mm: the same where nothing else found a way
_SCATTERED, _KEPT = 192, 4  # starts thrown anywhere and pushed apart, and how many of them are followed
_SHARE = 0.8  # of the time there is; the rest is for rounding and judging
_OFFERED = 3  # of the ways found, those that are rounded and judged


class ClearMoves(Struct, frozen=True, eq=False):
    """What a search found.

    Args:
        found: clear ways, the shortest first, no more than three.
        proven: where there is none, whether that is proven; else, that the first is the shortest but for 2 %.
        stuck: units of the clusters for which none was found.
    """

    found: tuple[Moves, ...]
    proven: bool
    stuck: frozenset[int]


def quick_way(constraint_set: ConstraintSet, start: Floats | None = None) -> Moves:
    """The nearest way from where the parts are, or from a start; it may not be clear."""
    at = np.zeros((len(constraint_set.freedom), 2)) if start is None else start
    return descend(constraint_set.members, constraint_set.freedom, at, more=constraint_set.more)


def clear_moves_of(constraint_set: ConstraintSet) -> ClearMoves:
    """The shortest clear ways found."""
    if len(constraint_set.members) == 1 and are_too_many(constraint_set.members):
        return ClearMoves((), True, frozenset())
    freedom, clusters = constraint_set.freedom, Clusters(constraint_set)
    found = [quick_way(constraint_set)]
    best = clusters.solve(_BUDGET)
    if best.moves is None and not best.closed and not found[0].clear and constraint_set.more(_SHARE):
        best = clusters.solve(_MORE * _BUDGET)
    if best.moves is None and best.closed:
        return ClearMoves((), True, best.stuck)
    if best.moves is not None:
        found.append(quick_way(constraint_set, best.moves))
    hit, many = constraint_set.short_of_room(), float(freedom.weights.sum()) > _MANY
    if not best.closed and len(hit) <= _FEW and not many:
        found += _followed(constraint_set, _starts(freedom, hit, _JITTERS))
    if not best.closed and not (many and any(f.clear for f in found)) and constraint_set.more(_SHARE):
        thrown = sorted(best.stuck | set(hit)) if best.stuck else range(len(freedom))
        starts = scattered(constraint_set, thrown, _SCATTERED // 4 if many else _SCATTERED, _KEPT)
        found += _followed(constraint_set, starts)
    if not any(f.clear for f in found):
        found += _followed(constraint_set, _starts(freedom, hit, _WILD))
    clear = sorted((f for f in found if f.clear), key=lambda f: round(f.cost, 4))
    return ClearMoves(tuple(clear[:_OFFERED]), best.closed and bool(clear), best.stuck)


def _followed(constraint_set: ConstraintSet, starts: Sequence[Floats]) -> list[Moves]:
    """The nearest way from each start, as long as there is time."""
    return [quick_way(constraint_set, start) for start in starts if constraint_set.more(_SHARE)]


def _starts(freedom: DegreesOfFreedom, hit: Sequence[int], jitters: Sequence[float]) -> list[Floats]:
    """Places from where tangents point elsewhere: what is short of room, thrown about by a fixed die."""
    rng = np.random.default_rng(len(hit))
    upright = np.array(freedom.upright, np.bool_)
    starts = []
    for jitter in jitters:
        start = np.zeros((len(freedom), 2))
        start[list(hit)] = rng.normal(0.0, jitter, (len(hit), 2))
        start[upright, 0] = 0.0
        starts.append(start)
    return starts
