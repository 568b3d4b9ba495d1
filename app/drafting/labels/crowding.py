"""Whether the holes of a template lie so close that not all words can stand beside them."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from app.catalogue.load import catalogue
from app.drafting.labels.word_blocks import full_blocks
from app.drafting.template.drill_template import Template

Floats = npt.NDArray[np.float64]

_SQUARE: Final = 20.0
"""Side of the squares the template is counted in [mm]."""

_REACH: Final = 3
"""Words may go this many squares off."""

_WIDE: Final = 20.0
"""Words find a place inside a hole of a larger radius [mm]."""


CROWDED: Final = 0.28
"""Share of the free paper above which words go into the key before they go far off; found by trying, no source."""

FILLED: Final = 0.12
"""Share above which a sheet may have no free place for a key; found by trying, no source."""


def crowding(template: Template) -> float:
    """What share of the paper that lines and holes leave free the words need, where they need most.

    Counted in squares of 140 × 140 mm, so it costs as much as there are holes.
    """
    if not template.marks or not template.circles:  # with nothing drilled, all paper is free
        return 0.0
    beyond = catalogue().rule("cross-beyond")
    at = np.array([mark.at for mark in template.marks])
    words = np.array([(b.width + 1.0) * (b.height + 1.0) for m in template.marks for b in (full_blocks(m)[1],)])
    x, y, r = np.array(template.circles, float).reshape(-1, 3).T
    r = np.minimum(r, _WIDE)
    drawn = np.pi * (r + 0.5) ** 2 + 8.0 * (r + beyond)  # a hole, and its cross with a millimetre at each side
    low = np.minimum(at.min(axis=0), (x.min(), y.min())) - _REACH * _SQUARE
    high = np.maximum(at.max(axis=0), (x.max(), y.max())) + _REACH * _SQUARE
    shape = np.ceil((high - low) / _SQUARE).astype(int) + 1
    need = _about(at, words, low, shape)
    free = ((2 * _REACH + 1) * _SQUARE) ** 2 - _about(np.column_stack([x, y]), drawn, low, shape)
    return float((need / np.maximum(free, _SQUARE)).max())


def _about(points: Floats, amounts: Floats, low: Floats, shape: npt.NDArray[np.int_]) -> Floats:
    """For each square, what ``amounts`` come to in the squares about it."""
    squares = ((points - low) / _SQUARE).astype(int)
    grid = np.zeros(tuple(shape))
    np.add.at(grid, (squares[:, 0], squares[:, 1]), amounts)
    sums = np.pad(grid, ((_REACH + 1, _REACH), (_REACH + 1, _REACH))).cumsum(axis=0).cumsum(axis=1)
    span = 2 * _REACH + 1
    return np.asarray(sums[span:, span:] - sums[:-span, span:] - sums[span:, :-span] + sums[:-span, :-span], float)
