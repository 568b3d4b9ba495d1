"""Shifts rounded to a step that a person would write down, and still clear."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.layout import Floats
from app.room.freedom import Freedom
from app.room.ground import Ground
from app.room.solve import Moves, descend, lack_of, length_of

STEP = 0.1
"""Step of every shift [mm]."""

_MARGINS = (0.0, 0.04, 0.08, 0.15)  # mm of room beyond the needs; two parts each rounded lose up to 0.14
_NOTHING = 1e-3  # mm: a shift that small is the arithmetic's
_CLEAR = 1e-6  # mm
_PASSES = 4


def rounded(grounds: Sequence[Ground], freedom: Freedom, moves: Moves) -> Floats | None:
    """The shortest clear shifts in whole steps near to ``moves``; None if there are none."""
    best: Floats | None = None
    for margin in _MARGINS:
        near = moves if margin == 0 else descend(grounds, freedom, moves.shift, margin)
        for shift in (_nearest(near.shift), _outward(near.shift)):
            better = best is None or length_of(shift, freedom) < length_of(best, freedom)
            if better and lack_of(grounds, shift) <= _CLEAR:
                best = shift
        if best is not None:
            return _shortened(grounds, best)
    return None


def _nearest(shift: Floats) -> Floats:
    return _counted(np.round(shift / STEP))


def _outward(shift: Floats) -> Floats:
    """Away from where the parts were, so that what moves along one way only moves far enough."""
    size = np.abs(shift)
    steps = np.where(size < _NOTHING, 0.0, np.ceil(size / STEP - 1e-3))
    return _counted(np.copysign(steps, shift))


def _counted(steps: Floats) -> Floats:
    found: Floats = np.round(steps * STEP, 6) + 0.0
    return found


def _shortened(grounds: Sequence[Ground], shift: Floats) -> Floats:
    """One step less wherever that stays clear."""
    for _ in range(_PASSES):
        changed = False
        for unit, axis in zip(*np.nonzero(shift), strict=True):
            less = shift.copy()
            less[unit, axis] = round(float(less[unit, axis]) - float(np.copysign(STEP, less[unit, axis])), 6) + 0.0
            if lack_of(grounds, less) <= _CLEAR:
                shift, changed = less, True
        if not changed:
            break
    return shift
