"""Shifts rounded to a step that a person would write down, and still clear."""

from __future__ import annotations

import numpy as np

from app.fit.features.features import Floats
from app.room.constraint_set import ConstraintSet
from app.room.solve import Moves, descend, length_of
from app.units import Unit

STEPS = {
    Unit.MM: (0.1, 0.01, 0.0001),
    Unit.INCH: (25.4 / 32, 25.4 / 64, 0.127, 0.0001),
}
"""Steps of a shift by the unit it is read in [mm]: the finer ones only where there is no room for the coarser."""

_MARGINS = (0.0, 0.4, 0.8, 1.5)  # steps of room beyond the needs; two parts each rounded lose up to 1.4
_NOTHING = 1e-3  # of a step: a shift that small is the arithmetic's
_CLEAR = 1e-6  # mm
_PASSES = 4
_DEARER = 1.02  # times


def rounded(constraint_set: ConstraintSet, moves: Moves, unit: Unit = Unit.MM) -> Floats | None:
    """The shortest clear shifts in whole steps near to ``moves``; None if there are none.

    Args:
        constraint_set: all needs.
        moves: clear shifts of the units.
        unit: in which the shifts are read.
    """
    for step in STEPS[unit]:
        found = _in_steps(constraint_set, moves, step)
        if found is not None:
            found = _shortened(constraint_set, found, step)
            if length_of(found, constraint_set.freedom) <= _longest(constraint_set, moves, step):
                return found
    return None


def _longest(constraint_set: ConstraintSet, moves: Moves, step: float) -> float:
    """What shifts in steps may come to [mm]: a step to each part that moves, and a little, is a fair price."""
    moving = np.abs(moves.shift).max(axis=1) > _NOTHING
    return moves.cost * _DEARER + step * float(constraint_set.freedom.weights[moving].sum())


def _in_steps(constraint_set: ConstraintSet, moves: Moves, step: float) -> Floats | None:
    for margin in _MARGINS:
        near = moves if margin == 0 else _roomier(constraint_set, moves, margin * step)
        shifts = (_nearest(near.shift, step), _outward(near.shift, step))
        for shift in sorted(shifts, key=lambda s: length_of(s, constraint_set.freedom)):
            if constraint_set.lack(shift) <= _CLEAR:
                return shift
    return None


def _roomier(constraint_set: ConstraintSet, moves: Moves, margin: float) -> Moves:
    return descend(constraint_set.members, constraint_set.freedom, moves.shift, margin, constraint_set.more)


def _nearest(shift: Floats, step: float) -> Floats:
    return _counted(np.round(shift / step), step)


def _outward(shift: Floats, step: float) -> Floats:
    """Away from where the parts were, so that what moves along one way only moves far enough."""
    size = np.abs(shift) / step
    steps = np.where(size < _NOTHING, 0.0, np.ceil(size - _NOTHING))
    return _counted(np.copysign(steps, shift), step)


def _counted(steps: Floats, step: float) -> Floats:
    found: Floats = np.round(steps * step, 6) + 0.0
    return found


def _shortened(constraint_set: ConstraintSet, shift: Floats, step: float) -> Floats:
    """One step less wherever that stays clear."""
    for _ in range(_PASSES):
        changed = False
        for unit, axis in zip(*np.nonzero(shift), strict=True):
            less = shift.copy()
            less[unit, axis] = round(float(less[unit, axis]) - float(np.copysign(step, less[unit, axis])), 6) + 0.0
            if constraint_set.lack(less) <= _CLEAR:
                shift, changed = less, True
            if not constraint_set.more(1.0):
                return shift
        if not changed:
            break
    return shift
