"""The smallest total shift: linear programs, each linear about the places the last one found.

The distance of two convex shapes is a convex function of how they lie to each other, so a tangent never
promises more room than there is: what one step finds clear is clear. A length is a sum of 32 directions,
at most 0.5 % too long. What cannot be met is paid for dearly, so that a start in the wrong is led out of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats, Ints
from app.room.constraints import Constraints, LinearNeeds
from app.room.degrees_of_freedom import DegreesOfFreedom
from app.room.linear_program import Entries, Program, UnsolvedError, cheapest

_DIRECTIONS = 32
_DEAR = 1000.0  # mm of shift that 1 mm of lack costs: more than a chain of parts pushing each other can
_STEPS = 14
_REACH = 12.0  # mm: how far a part may go in one step
_STILL = 1e-3  # mm: steps shorter than this end the search
_CLEAR = 1e-6  # mm


Patience = Callable[[float], bool]
"""Whether a search may go on, asked with the share of its time that may be used by then: the rest is for what
makes a way of what was found. No work of a moment asks; what asks always does something useful first."""


def endless(_: float) -> bool:
    """Patience without end."""
    return True


def within(more: Patience, low: float, high: float) -> Patience:
    """The patience of one way among several, which has the time from one share of the whole to another."""
    return lambda share: more(low + share * (high - low))


class Moves(Struct, frozen=True, eq=False):
    """Shifts of the units, shape (m, 2) [mm], their weighed sum, and the worst lack that is left [mm]."""

    shift: Floats
    cost: float
    lack: float

    @property
    def clear(self) -> bool:
        """Whether every need is met."""
        return self.lack <= _CLEAR


def length_of(shift: Floats, freedom: DegreesOfFreedom) -> float:
    """Sum of the distances that placements move [mm]."""
    return float((np.hypot(shift[:, 0], shift[:, 1]) * freedom.weights).sum())


def lack_of(members: Sequence[Constraints], shift: Floats, margin: float = 0.0) -> float:
    """The worst lack of any need with the units shifted, at least 0 [mm]."""
    slacks = [g.rows(shift, margin + 1.0).slack for g in members]
    return max((float(margin - s.min()) for s in slacks if len(s)), default=0.0)


def descend(
    members: Sequence[Constraints],
    freedom: DegreesOfFreedom,
    start: Floats,
    margin: float = 0.0,
    more: Patience = endless,
) -> Moves:
    """From a start, step by step to the nearest smallest shift.

    Args:
        members: boards that share the units.
        freedom: the units.
        start: where tangents are taken first, shape (m, 2) [mm]; the cost counts from no shift at all.
        margin: room wanted beyond every need [mm].
        more: whether another step may be tried.
    """
    shift, reach = start, _REACH
    for step in range(_STEPS):
        rows = [g.rows(shift, 2 * reach) for g in members]
        new = step_of(rows, freedom, shift, reach, margin)
        far = float(np.abs(new - shift).max(initial=0.0))
        shift = new
        if far < _STILL or not more(1.0):
            break
        if step >= 4:
            reach = max(reach / 2, 1.0)
    return Moves(shift, length_of(shift, freedom), max(0.0, lack_of(members, shift, margin)))


def step_of(
    parts: Sequence[LinearNeeds],
    freedom: DegreesOfFreedom,
    at: Floats,
    reach: float,
    margin: float,
    *,
    kept: bool = False,
) -> Floats:
    """The best shift within ``reach`` of ``at``, every need linear.

    Args:
        parts: the needs about where the parts are.
        freedom: the units.
        at: shift of the units now, shape (m, 2) [mm].
        reach: how far each may go, across and along [mm].
        margin: room wanted beyond every need [mm].
        kept: whether no need may end up shorter of room than it is; then what lacks little is dearer than what lacks
            much, so that few needs are left unmet rather than all a little.
    """
    m = len(freedom)
    columns, unit_of, way_of = _columns(freedom)
    slack = np.concatenate([p.slack for p in parts])
    n = len(slack)
    moves = np.zeros(n)
    r, c, needs = [], [], []
    for side, name in enumerate(("first", "second")):
        units = np.concatenate([getattr(p, name) for p in parts])
        gains = np.concatenate([p.gains[:, side] for p in parts])
        moving = np.flatnonzero(units >= 0)
        moves[moving] += (gains[moving] * at[units[moving]]).sum(axis=1)
        # Of the directions only those of the unit that moves: most needs are of two units among many.
        row, column = _own(units[moving], unit_of, m)
        r.append(moving[row])
        c.append(column)
        needs.append((gains[moving[row]] * way_of[column]).sum(axis=1))
    # Gain of the new shift is at least the margin less the slack, counted from the old shift; or it is paid for.
    box_rows, box_columns, box_values = _box(unit_of, way_of)
    values = np.concatenate((*(-some for some in needs), -np.ones(n), box_values, -box_values))
    down = np.concatenate((*r, np.arange(n), n + box_rows, n + 2 * m + box_rows))
    across = np.concatenate((*c, columns + np.arange(n), box_columns, box_columns))
    limits = np.concatenate((slack - margin - moves, (at + reach).ravel(), (reach - at).ravel()))
    lack = np.maximum(margin - slack, 0.0)
    costs = np.concatenate((freedom.weights[unit_of], _DEAR / (1.0 + lack) if kept else np.full(n, _DEAR)))
    most = np.concatenate((np.full(columns, np.inf), lack if kept else np.full(n, np.inf)))
    lower = np.full(n + 4 * m, -np.inf)
    try:
        amounts = cheapest(Program(costs, most, Entries(down, across, values), lower, limits))
    except UnsolvedError:
        return at
    if amounts is None:
        return at
    shift = np.zeros((m, 2))
    np.add.at(shift, unit_of, amounts[:columns, None] * way_of)
    return shift


def _own(units: Ints, unit_of: Ints, m: int) -> tuple[Ints, Ints]:
    """Every direction of each of ``units``: which of them it is of, and which direction."""
    first, count = np.searchsorted(unit_of, units), np.bincount(unit_of, minlength=m)[units]
    row = np.repeat(np.arange(len(units)), count)
    within = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    return row, first[row] + within


def _columns(freedom: DegreesOfFreedom) -> tuple[int, np.ndarray, Floats]:
    """How many directions of shift there are, the unit of each, and the direction."""
    all_round = directions_of(_DIRECTIONS)
    upright = np.array([(0.0, 1.0), (0.0, -1.0)])
    directions = [upright if u else all_round for u in freedom.upright]
    units = np.repeat(np.arange(len(freedom)), [len(d) for d in directions])
    return len(units), units, np.concatenate(directions) if directions else np.zeros((0, 2))


@cache
def directions_of(count: int) -> Floats:
    """Unit vectors all round, shape (count, 2)."""
    turns = 2 * np.pi * np.arange(count) / count
    found: Floats = np.round(np.stack((np.cos(turns), np.sin(turns)), axis=1), 15)
    return found


def _box(unit_of: np.ndarray, way_of: Floats) -> tuple[np.ndarray, np.ndarray, Floats]:
    """Entries of the rows that sum each unit's shift across and along."""
    column, axis = np.nonzero(way_of)
    return 2 * unit_of[column] + axis, column, way_of[column, axis]
