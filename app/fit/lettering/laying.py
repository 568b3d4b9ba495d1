"""The legends of a board at their places: each where it is asked for, or as near as there is clear space.

Those that are told exactly where, as rings and free ones, are laid first; then the others, from the back to the front
and from the left, each clear of all that lies there already. The same board has the same places, whatever order its
parts were placed in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from app.fit.features.features import Floats
from app.fit.lettering.ground import Ground, has_ink
from app.fit.lettering.ink import Ink, ink_of
from app.fit.lettering.laid import LaidLegend, quad_set
from app.fit.lettering.places import LegendLine, nominal, shifts
from app.model.legend import SIDES, Legend
from app.values import replace

if TYPE_CHECKING:
    from app.fit.features.placed_features import PlacedFeatures

_FINE = 1e-9  # mm
_SAFE = 0.005  # mm beyond what is asked, so that no rounding makes a finding of it


def laid_legends(layout: PlacedFeatures, ground: Ground) -> tuple[LaidLegend, ...]:
    """Every legend of the placements that are drilled, in their order."""
    asked: list[tuple[int, Legend, Ink]] = []
    for owner, placed in enumerate(layout.placed):
        legend = placed.legend
        if legend is not None and has_ink(legend):
            ink = ink_of(legend, layout.board.lettering)
            if ink is not None:
                asked.append((owner, legend, ink))
    if not asked:
        return ()
    need, poses = ground.gap + ground.off + _SAFE, layout.poses
    line = _line([ink for _, _, ink in asked])
    rims = ground.rims
    found = [
        nominal(owner, legend, ink, (float(poses[owner, 0]), float(poses[owner, 1])), rims[owner], need, line)
        for owner, legend, ink in asked
    ]
    return _settled(found, ground, rims)


def _line(inks: list[Ink]) -> LegendLine:
    """What letters of all legends reach below and above their lines; signs stand on it."""
    return LegendLine(
        max(0.0, *(-ink.box[1] / ink.height for ink in inks)), max(ink.box[3] / ink.height for ink in inks)
    )


def _settled(found: list[LaidLegend], ground: Ground, rims: Floats) -> tuple[LaidLegend, ...]:
    """Each legend on a side where it is free."""
    loose = [k for k, laid in enumerate(found) if laid.legend.place in SIDES]
    if not loose:
        return tuple(found)
    quads = np.concatenate([found[k].quads for k in loose])
    covered = np.array([found[k].legend.covered for k in loose])
    free = ground.clear(quads, covered=False)
    if covered.any():
        free[covered] = ground.clear(quads[covered], covered=True)
    taken = _Taken([found[k].quads for k in range(len(found)) if k not in set(loose)], ground.apart + _SAFE)
    order = sorted(range(len(loose)), key=lambda i: (*_reading(found[loose[i]]), found[loose[i]].owner))
    waiting = []
    for i in order:  # those that are free where they are keep their place; the others go round them
        laid = found[loose[i]]
        if free[i] and taken.leaves(laid.quads)[0]:
            taken.add(laid.quads)
        else:
            waiting.append(loose[i])
    for k in waiting:
        found[k] = _placed(found[k], ground, rims[found[k].owner], taken)
        taken.add(found[k].quads)
    return tuple(found)


def _reading(laid: LaidLegend) -> tuple[float, float]:
    x, y = laid.middle
    return (-round(y, 1), round(x, 1))


def _placed(laid: LaidLegend, ground: Ground, rim: Floats, taken: _Taken) -> LaidLegend:
    """The legend at the nearest free place of its side; where it was, with ``no room``, if there is none."""
    moves = shifts(laid, rim)
    quads = laid.quads[0] + moves[:, None, :]
    far = float(np.hypot(*moves.T).max()) + ground.gap + ground.off + float(laid.shapes.reaches[0])
    near = ground.near(*laid.middle, far)
    free = taken.leaves(quads)
    rows = np.flatnonzero(free)
    if len(rows):
        free[rows] = ground.clear(quads[rows], laid.legend.covered, near)
    good = np.flatnonzero(free)
    if not len(good):
        return replace(laid, trouble="no room")
    dx, dy = moves[good[0]].tolist()
    return laid.shifted(dx, dy)


class _Taken:
    """Boxes of legends that lie on the board already.

    Args:
        quads: of the first ones, each of shape (n, 4, 2) [mm].
        apart: how far others keep from them [mm].
    """

    def __init__(self, quads: list[Floats], apart: float) -> None:
        self._apart = apart
        self._many = 0
        self._quads = np.zeros((64, 4, 2))
        self._low = np.zeros((64, 2))
        self._high = np.zeros((64, 2))
        for some in quads:
            self.add(some)

    def add(self, quads: Floats) -> None:
        """Lay some more."""
        now, then = self._many, self._many + len(quads)
        while then > len(self._quads):
            self._quads, self._low, self._high = (
                np.concatenate((each, np.zeros_like(each))) for each in (self._quads, self._low, self._high)
            )
        self._quads[now:then], self._low[now:then], self._high[now:then] = quads, quads.min(axis=1), quads.max(axis=1)
        self._many = then

    def leaves(self, quads: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which of some boxes are clear of all of them."""
        free = np.ones(len(quads), np.bool_)
        low, high = quads.min(axis=(0, 1)) - self._apart, quads.max(axis=(0, 1)) + self._apart
        there = self._high[: self._many], self._low[: self._many]
        near = np.flatnonzero(((there[0] > low) & (there[1] < high)).all(axis=1))
        if len(near):
            free[quad_set(quads).against(quad_set(self._quads[near]), self._apart).first] = False
        return free
