"""Why no room was found: the part that is one too many, or how much larger the board would have to be.

How much larger is first reckoned, with the growth as one more number of the linear programs, then tried in
whole millimetres up and down from there. Every answer given was tried and found clear by the rules.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.features.features import Floats
from app.fit.features.layout import natural
from app.geometry.outline import Corner, Outline
from app.model.board import DepthPlane
from app.model.resolved import ResolvedBoard
from app.room.clusters import Clusters
from app.room.constraint_set import ConstraintSet
from app.room.linear_program import UnsolvedError
from app.room.make import Attempt, Case, Follower
from app.room.solve import Moves, Patience, endless
from app.room.strategies import quick_way
from app.units import Unit
from app.values import replace

_PARTS_TRIED = 8
_LARGEST = 512.0  # mm: a board so much larger is another board
_STEPS = 10
_STILL = 0.05  # mm
_BUDGET = 60  # linear programs: what a try is worth
_FEW = 6  # units: so few are searched on every side


class Reason(Struct, frozen=True):
    """What would make room.

    Args:
        part: id of the placement without which the others find room; None if leaving out one is not enough.
        longer: how much longer the board must be [mm, whole]; None if no length up to 512 mm more is enough.
        deeper: how much deeper, front to back, likewise.
    """

    part: str | None
    longer: float | None
    deeper: float | None


def reason_for(
    found: Attempt,
    catalogue: Catalogue,
    *,
    rigid: bool = False,
    followers: Sequence[Follower] = (),
    more: Patience = endless,
) -> Reason:
    """Why an attempt found no room, or what would give it; the smallest found in whole millimetres.

    Where ``more`` ends the search, a growth is the smallest that was tried and found enough by then.
    """
    trial = _Trial(catalogue, rigid, followers, more)
    board = found.board
    return Reason(
        next((i for i in _suspects(found) if more(0.4) and trial.way(without(board, i)) is not None), None),
        trial.least_growth(board, 1.0, 0.0),
        trial.least_growth(board, 0.0, 1.0),
    )


def _suspects(found: Attempt) -> list[str]:
    """Parts that may move, the most often concerned first; those that are short of room together before others."""
    counted = Counter(s for finding in found.wanted for s in finding.subjects)
    locked = {p.id for p in found.board.drilled if p.locked}
    ids = [i for i in {*counted, *found.stuck} if i not in locked]
    return sorted(ids, key=lambda i: (i not in found.stuck, -counted[i], natural(i)))[:_PARTS_TRIED]


class _Trial(Struct, frozen=True):
    """What boards are tried with."""

    catalogue: Catalogue
    rigid: bool
    followers: Sequence[Follower]
    more: Patience = endless

    def way(self, board: ResolvedBoard, start: Floats | None = None) -> Floats | None:
        """Shifts of the units of a board, from where the parts are or from a start, that the rules find clear.

        None if a quick look finds none.
        """
        case = self.case(board)
        if not case.wanted:
            return np.zeros((0, 2))
        constraint_set = case.constraint_set(case.freedoms[-1])
        for moves in self._ways(constraint_set, start):
            if moves.clear and case.judged(constraint_set, moves, Unit.MM):
                return moves.shift
        return None

    def _ways(self, constraint_set: ConstraintSet, start: Floats | None) -> Iterator[Moves]:
        if start is not None and len(start) == len(constraint_set.freedom):
            yield quick_way(constraint_set, start)
        yield quick_way(constraint_set)
        if len(constraint_set.freedom) <= _FEW:
            found = Clusters(constraint_set).solve(_BUDGET)
            if found.moves is not None:
                yield quick_way(constraint_set, found.moves)

    def case(self, board: ResolvedBoard) -> Case:
        """A board to try."""
        return Case(board, self.catalogue, self.followers, self.rigid, self.more)

    def least_growth(self, board: ResolvedBoard, across: float, along: float) -> float | None:
        """The least whole number of millimetres to grow by that is found to be enough; None if there is none.

        Args:
            board: as it is.
            across: 1 to become longer, else 0.
            along: 1 to become deeper, else 0.
        """

        def larger(more: float) -> ResolvedBoard:
            return stretched(board, across * more, along * more)

        if not self.more(1.0):
            return None
        start, more = self._reckoned(board, (across, along))
        low, high, step = 0.0, math.inf, 1.0
        if start is None and self.way(larger(_LARGEST)) is None:
            return None
        while high - low > 1 and more <= _LARGEST and self.more(1.0):
            way = self.way(larger(more), start)
            if way is None:
                low = more
            else:
                high, start = more, way
            if high < math.inf and low > 0:
                more = (low + high) // 2
            else:  # in ever longer steps until there is one that is enough and one that is not
                more, step = (low + step if high == math.inf else max(1.0, high - step)), step * 2
        return high if high <= _LARGEST else None

    def _reckoned(self, board: ResolvedBoard, growing: tuple[float, float]) -> tuple[Floats | None, float]:
        """Shifts that would do on a larger board, and how much larger it is then, rounded up [mm]."""
        case = self.case(board)
        constraint_set = case.constraint_set(case.freedoms[-1])
        m = len(constraint_set.freedom)
        everything = frozenset(range(m))
        moves, grown = np.zeros((m, 2)), 0.0
        for _ in range(_STEPS):
            try:
                found = constraint_set.least(constraint_set.near_cuts(moves), everything, growing)
            except UnsolvedError:
                found = None
            if found is None:
                return None, 1.0
            far = float(np.abs(found.moves - moves).max(initial=0.0)) + abs(found.grown - grown)
            moves, grown = found.moves, found.grown
            if far < _STILL or not self.more(1.0):
                break
        return moves, float(max(1, math.ceil(grown - _STILL)))


def without(board: ResolvedBoard, placement: str) -> ResolvedBoard:
    """The board with one part left out."""
    return board.populated(tuple(p for p in board.placements if p.id != placement))


def stretched(board: ResolvedBoard, across: float, along: float) -> ResolvedBoard:
    """The board longer by ``across``, half at each end so that what is symmetric stays so, and deeper by ``along``.

    Corners move with the half of the board they are in; the front edge, the openings and the parts stay.
    The free depth below is as it was at the front and the back edge, and straight between.
    """
    x0, y0, x1, y1 = board.outline.bounds
    corners = tuple(
        Corner(
            c.x + (across / 2 if c.x > (x0 + x1) / 2 else -across / 2),
            c.y + (along if c.y > (y0 + y1) / 2 else 0.0),
            c.setback,
        )
        for c in board.outline.corners
    )
    depth = board.free_depth
    if depth is not None and along:
        slope = depth.slope_y * (y1 - y0) / (y1 + along - y0)
        depth = DepthPlane(depth.at(0.0, y0) - slope * y0, depth.slope_x, slope)
    return replace(board, outline=Outline(corners), free_depth=depth)
