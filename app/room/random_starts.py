"""Many starts at once, thrown anywhere by a die and pushed apart: ways that no search nearby would come to."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import numpy as np

from app.fit.features.features import Floats
from app.room.constraint_set import ConstraintSet
from app.room.no_fit import Sides

_ROUNDS = 240
_SHARE = 0.7  # of the time there is
_PUSH = 0.55  # of what is lacking: a little more than each half of two
_NEAR = 0.1  # mm: what lacks no more is left to the descent
_SURE = 0.01  # mm: what lacks no more can be made clear
_SPREADS = (8.0, 16.0, 30.0)  # mm
_ORDERED = 5  # units: the orders of more are too many


def scattered(constraint_set: ConstraintSet, units: Sequence[int], count: int, best: int) -> list[Floats]:
    """Nearly clear shifts, the shortest first, found by pushing apart what lies too near.

    Args:
        constraint_set: all needs.
        units: those that are thrown; others move only if they are pushed.
        count: how many starts.
        best: how many are kept at most.

    Returns:
        Shifts of the units, each of shape (m, 2) [mm].
    """
    moves = np.concatenate((_exchanged(constraint_set, units), _thrown(constraint_set, units, count)))
    count = len(moves)
    upright = np.array(constraint_set.freedom.upright, np.bool_)
    lack = np.full(count, np.inf)
    for _ in range(_ROUNDS):
        push, lack = np.zeros_like(moves), np.zeros(count)
        for sides in constraint_set.sides:
            lack = np.maximum(lack, _parted(sides, moves, push))
        lack = np.maximum(lack, _inward(constraint_set, moves, push))
        push[:, upright, 0] = 0.0
        moves = moves + push
        if not constraint_set.more(_SHARE):
            break
    clear = np.flatnonzero(lack < _NEAR)
    costs = (np.hypot(moves[..., 0], moves[..., 1]) * constraint_set.freedom.weights).sum(axis=1)
    # What still lacks a little after so many rounds may lack it for good: it comes after what does not.
    shortest = clear[np.lexsort((np.round(costs[clear], 1), lack[clear] > _SURE))]
    unlike = {round(float(costs[k])): k for k in reversed(shortest.tolist())}  # of each length the first
    kept = sorted(unlike.values(), key=shortest.tolist().index)
    return [moves[k] for k in kept[:best]]


def _exchanged(constraint_set: ConstraintSet, units: Sequence[int]) -> Floats:
    """Starts where the units take each other's places, in every order if they are few, shape (any, m, 2)."""
    home = constraint_set.members[0]
    first = {int(unit): k for k, unit in reversed(list(enumerate(home.unit.tolist()))) if unit in units}
    kept = sorted(first)
    if not 2 <= len(kept) <= _ORDERED:
        return np.zeros((0, len(constraint_set.freedom), 2))
    placed = [home.layout.placed[first[unit]] for unit in kept]
    places = np.array([(p.x, p.y) for p in placed])
    signs = np.array([(home.sign[first[unit]], 1.0) for unit in kept])
    orders = [order for order in permutations(range(len(kept))) if list(order) != sorted(order)]
    moves = np.zeros((len(orders), len(constraint_set.freedom), 2))
    for row, order in enumerate(orders):
        moves[row, kept] = (places[list(order)] - places) * signs
    moves[:, np.array(constraint_set.freedom.upright, np.bool_), 0] = 0.0
    return moves


def _thrown(constraint_set: ConstraintSet, units: Sequence[int], count: int) -> Floats:
    """Half of the starts about where the parts are, half anywhere on the board, shape (count, m, 2)."""
    rng = np.random.default_rng(len(units))
    moves = np.zeros((count, len(constraint_set.freedom), 2))
    moves[:, list(units)] = rng.normal(0.0, 1.0, (count, len(units), 2))
    moves *= np.resize(_SPREADS, count)[:, None, None]
    x0, y0, x1, y1 = constraint_set.members[0].layout.board.outline.bounds
    home = constraint_set.members[0]
    for unit in units:
        for k in np.flatnonzero(home.unit == unit)[:1].tolist():
            anywhere = rng.uniform((x0, y0), (x1, y1), (count, 2)) - (home.layout.placed[k].x, home.layout.placed[k].y)
            moves[count // 2 :, unit] = (anywhere * (home.sign[k], 1.0))[count // 2 :]
    moves[:, np.array(constraint_set.freedom.upright, np.bool_), 0] = 0.0
    return moves


def _parted(sides: Sides, moves: Floats, push: Floats) -> Floats:
    """Push what is too near each other apart; the worst lack of each start [mm]."""
    count, n = len(moves), len(sides.need)
    by = np.concatenate((moves, np.zeros((count, 1, 2))), axis=1)[:, sides.units]
    by[..., 0] *= sides.signs
    lack, way = sides.lacks((by[:, :, 0] - by[:, :, 1]).reshape(-1, 2), count)
    lack, way = lack.reshape(count, n), way.reshape(count, n, 2)
    alone = (sides.units < 0).any(axis=1)
    by_each = way * (lack * np.where(alone, 1.0, _PUSH))[..., None]
    ends = np.zeros((moves.shape[1] + 1, count, 2))  # the last is −1, of what stays
    for side, turn in enumerate((1.0, -1.0)):
        step = turn * by_each
        step[..., 0] *= sides.signs[:, side]
        np.add.at(ends, sides.units[:, side], step.swapaxes(0, 1))
    push += ends[:-1].swapaxes(0, 1)
    found: Floats = lack.max(axis=1, initial=0.0)
    return found


def _inward(constraint_set: ConstraintSet, moves: Floats, push: Floats) -> Floats:
    """Push what is beyond a wall inward; the worst lack of each start [mm]."""
    limits = constraint_set.linear_limits
    lack = np.maximum(-(limits.slack + (limits.way * moves[:, limits.unit]).sum(axis=2)), 0.0)
    ends = np.zeros((moves.shape[1], len(moves), 2))
    np.add.at(ends, limits.unit, (limits.way * lack[..., None]).swapaxes(0, 1))
    push += ends.swapaxes(0, 1)
    found: Floats = lack.max(axis=1, initial=0.0)
    return found
