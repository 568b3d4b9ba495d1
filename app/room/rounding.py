"""Shifts rounded to a step that a person would write down, and still clear."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.layout import Floats
from app.room.freedom import Freedom
from app.room.ground import Ground
from app.room.solve import Moves, descend, lack_of, length_of

STEPS = (0.1, 0.01, 0.0001)
"""Steps of a shift [mm]: the finer ones only where there is no room for the coarser."""

_MARGINS = (0.0, 0.4, 0.8, 1.5)  # steps of room beyond the needs; two parts each rounded lose up to 1.4
_NOTHING = 1e-3  # of a step: a shift that small is the arithmetic's
_CLEAR = 1e-6  # mm
_PASSES = 4


def rounded(grounds: Sequence[Ground], freedom: Freedom, moves: Moves) -> Floats | None:
    """The shortest clear shifts in whole steps near to ``moves``; None if there are none."""
    for step in STEPS:
        found = _in_steps(grounds, freedom, moves, step)
        if found is not None:
            return _shortened(grounds, found, step)
    return None


def _in_steps(grounds: Sequence[Ground], freedom: Freedom, moves: Moves, step: float) -> Floats | None:
    for margin in _MARGINS:
        near = moves if margin == 0 else descend(grounds, freedom, moves.shift, margin * step)
        shifts = sorted((_nearest(near.shift, step), _outward(near.shift, step)), key=lambda s: length_of(s, freedom))
        for shift in shifts:
            if lack_of(grounds, shift) <= _CLEAR:
                return shift
    return None


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


def _shortened(grounds: Sequence[Ground], shift: Floats, step: float) -> Floats:
    """One step less wherever that stays clear."""
    for _ in range(_PASSES):
        changed = False
        for unit, axis in zip(*np.nonzero(shift), strict=True):
            less = shift.copy()
            less[unit, axis] = round(float(less[unit, axis]) - float(np.copysign(step, less[unit, axis])), 6) + 0.0
            if lack_of(grounds, less) <= _CLEAR:
                shift, changed = less, True
        if not changed:
            break
    return shift
