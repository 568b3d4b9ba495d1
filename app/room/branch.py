"""Which side of each other parts pass: a search over all choices, cut short by bounds.

A part passes another on one side of the shape it must stay outside of. The rim of that shape is cut into a few
faces; beyond a chord of one face is all room there is on that side, and a little more. With a face chosen for
some pairs the least shift is a linear program, and no way with those choices is shorter. The pair that is
violated most is decided next, a face already chosen is halved, and choices that cannot become shorter than the
best way known are left. What remains when there is nothing left to try is proven: that a way is the shortest
but for the gap, or that there is none.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from msgspec import Struct

from app.fit.features.features import Flags, Floats
from app.room.constraint_set import ConstraintSet, Pair, PairLimit
from app.room.linear_program import UnsolvedError
from app.room.solve import length_of

_FACES = 8
_GAP, _LITTLE = 0.02, 0.02  # of the shortest way known, and mm: not looked for
_LEAF = 0.05  # mm: overlaps so small are left to the descent
_CRITICAL = 1e-4  # mm: faces are halved no further
_CLEAR = 1e-6  # mm
_SHARE = 0.6  # of the time there is; the rest is for what follows what was found
_STEPS = 10
_STILL = 1e-2  # mm: a descent whose steps are shorter is at its end


@dataclass(frozen=True, slots=True, order=True)
class Node:
    """Choices made so far: the least cost [mm], an order of finding, what came of them, and whether a descent did."""

    bound: float
    order: int
    moves: Floats = field(compare=False)
    cuts: tuple[PairLimit, ...] = field(compare=False)
    faces: dict[Pair, tuple[float, float]] = field(compare=False)
    followed: bool = field(compare=False)


class SearchOutcome(Struct, frozen=True, eq=False):
    """What a search came to.

    Args:
        moves: the shortest clear way found, shape (m, 2) [mm]; None if none was found.
        cost: its weighed sum [mm]; infinite if there is none.
        bound: no clear way is shorter [mm]; infinite where it is proven that there is none.
        spent: linear programs solved.
    """

    moves: Floats | None
    cost: float
    bound: float
    spent: int

    @property
    def closed(self) -> bool:
        """Whether nothing is left that could be much shorter, or that could be at all."""
        return self.bound >= _worth(self.cost)


def _worth(cost: float) -> float:
    """Bounds from here on are not worth looking into, when a way of that cost is known."""
    return cost * (1 - _GAP) - _LITTLE


class Search:
    """A search among the choices of some units and of whatever they run into."""

    def __init__(self, constraint_set: ConstraintSet, roots: frozenset[int], budget: int) -> None:
        self._field = constraint_set
        self._roots = roots
        self._left = self._budget = budget
        self._order = itertools.count()
        self._best: Floats | None = None
        self._cost = math.inf
        self._unclear = False

    def run(self) -> SearchOutcome:
        """Search until nothing is left to try, or the budget of linear programs is."""
        waiting: list[Node] = []
        try:
            self._look(waiting)
        except UnsolvedError:
            self._unclear = True
        bound = min((waiting[0].bound if waiting else math.inf), math.inf if not self._unclear else 0.0)
        return SearchOutcome(self._best, self._cost, min(bound, self._cost), self._budget - self._left)

    def _look(self, waiting: list[Node]) -> None:
        """The most promising first, down to where nothing is left to choose; what is put off waits."""
        root = self._node((), {}, followed=False)
        waiting += [root] if root else []
        while waiting and self._goes_on() and waiting[0].bound < _worth(self._cost):
            follow: Node | None = heapq.heappop(waiting)
            while follow is not None and self._goes_on():
                children = self._children(follow)
                follow = children[0] if children else None
                for child in children[1:]:
                    heapq.heappush(waiting, child)
            if follow is not None:
                heapq.heappush(waiting, follow)

    def _goes_on(self) -> bool:
        return self._left > 0 and self._field.more(_SHARE)

    def _node(
        self, cuts: tuple[PairLimit, ...], faces: dict[Pair, tuple[float, float]], *, followed: bool
    ) -> Node | None:
        self._left -= 1
        found = self._field.least(cuts, self._roots)
        return None if found is None else Node(found.cost, next(self._order), found.moves, cuts, faces, followed)

    def _children(self, node: Node) -> list[Node]:
        """What to look into next below a node, the most promising first."""
        worst = self._field.worst(node.moves, self._among(node.moves, node.cuts))
        if worst is None or worst[1] < _LEAF:
            if self._descend(node.moves):
                return []  # as short as it gets with these choices
            if worst is None or worst[1] < _CRITICAL:
                self._unclear = True  # it may be that there is a way here
                return []
        pair, _, way = worst
        halved = pair in node.faces
        if halved and not node.followed:
            self._descend(node.moves)
        children = []
        for face in _faces(math.atan2(way[1], way[0]), node.faces.get(pair)):
            cuts, faces = (*node.cuts, self._beyond(pair, face)), {**node.faces, pair: face}
            child = self._node(cuts, faces, followed=halved)
            if child is not None and child.bound < _worth(self._cost):
                children.append(child)
        return sorted(children)

    def _among(self, moves: Floats, cuts: Sequence[PairLimit] = ()) -> Flags:
        """Units of this search: where it began, what moves, and what was decided about."""
        among: Flags = np.abs(moves).max(axis=1) > _CLEAR
        among[[*self._roots, *(u for cut in cuts for u in cut.units if u >= 0)]] = True
        return among

    def _beyond(self, pair: Pair, face: tuple[float, float]) -> PairLimit:
        """Beyond the chord of a face."""
        sides, row = self._field.sides[pair[0]], pair[1]
        a, b = (sides.rim(row, angle) for angle in face)
        along = b - a
        normal = np.array([along[1], -along[0]]) / np.hypot(*along)
        units = sides.units[row].tolist()
        # The shift of the first against the second counts from where they are.
        return PairLimit((units[0], units[1]), sides.gains(np.array([row]), normal[None])[0], float(normal @ a))

    def _descend(self, moves: Floats) -> bool:
        """From a node's shift to the nearest clear one; whether there was one."""
        constraint_set, clear = self._field, False
        cuts, _ = constraint_set.tangents(moves, self._among(moves))
        for _ in range(_STEPS):
            self._left -= 1
            found = constraint_set.least(cuts, self._roots)
            if found is None:
                return clear
            far = float(np.abs(found.moves - moves).max(initial=0.0))
            moves = found.moves
            cuts, lack = constraint_set.tangents(moves, self._among(moves))
            if lack <= _CRITICAL:
                clear, cost = True, length_of(moves, constraint_set.freedom)
                if cost < self._cost:
                    self._best, self._cost = moves, cost
                elif far < 1.0:
                    return True  # close to where it ends, and no better
            if far < _STILL or not constraint_set.more(_SHARE):
                break
        return clear


def _faces(angle: float, whole: tuple[float, float] | None) -> list[tuple[float, float]]:
    """A face halved about where it is overrun; or all faces, the first about the way out [rad]."""
    if whole is None:
        wide = 2 * math.pi / _FACES
        return [(angle + (k - 0.5) * wide, angle + (k + 0.5) * wide) for k in range(_FACES)]
    low, high = whole
    inside, margin = low + (angle - low) % (2 * math.pi), 0.2 * (high - low)
    middle = inside if low + margin < inside < high - margin else (low + high) / 2
    return [(low, middle), (middle, high)]
