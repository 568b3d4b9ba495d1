"""A table of offsets for a curve: points a builder plots with a rule, enough of them for a batten to follow it.

Where the curve runs nearer to level, ordinates stand up from the front datum edge at a spacing along it; where it runs
nearer to upright, they reach across from the left one. So no rounding moves the curve by more than it is itself.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.geometry.batten import batten_strays
from app.geometry.conic import Conic, Floats
from app.values import replace

Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

LIMIT = 0.5
"""How far a batten may run from the true curve [mm]."""

_CLOSE = 0.3  # of the spacing, points nearer than which are one too many
_ROUNDS = 10
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)  # of an interval, where a point is put in: the first that can be had
_SAME = 1e-9


class Plot(Struct, frozen=True):
    """Points of one curve, from its start to its end.

    Args:
        axes: of each point the axis its ordinates are spaced along: 0 from the left, 1 from the front; −1 of an end.
        true: points of the curve there, shape (n, 2) [mm].
        marked: the same as they are read on the rule, shape (n, 2) [mm].
        added: whether each was put in for the batten's sake, between those.
        reading: what they are rounded to [mm].
        strays: how far the batten through them runs from the curve at most [mm].
        asked: how far it would have, with the reading asked for [mm].
    """

    axes: tuple[int, ...]
    true: Floats
    marked: Floats
    added: tuple[bool, ...]
    reading: float
    strays: float
    asked: float


def plot(curve: Conic, spacing: float, readings: Sequence[float]) -> Plot:
    """Points of a curve whose coordinates are measured from the datum edges.

    Args:
        curve: the curve [mm].
        spacing: of the ordinates, a whole number of each reading [mm].
        readings: what ordinates are rounded to, the one asked for first, then finer ones; these are taken only where a
            batten would run more than ``LIMIT`` off [mm].
    """
    first = best = _Plotted(curve, spacing, readings[0]).settled()
    for reading in readings[1:]:
        if best.strays <= LIMIT:
            break
        best = min(best, _Plotted(curve, spacing, reading).settled(), key=lambda found: found.strays)
    return replace(best, asked=first.strays)


class _Plotted:
    """The points of a curve as they grow in number."""

    def __init__(self, curve: Conic, spacing: float, reading: float) -> None:
        self.curve, self.reading = curve, reading
        self.cuts = np.array([0.0, *curve.diagonals, 1.0])
        self.places = np.array([0.0, 1.0])
        self.axes = np.array([-1, -1])
        self.added = np.zeros(2, np.bool_)
        ends = curve.at(self.places)
        self.true, self.marked = ends, _rounded(ends, reading)
        for part in range(len(self.cuts) - 1):
            self._at_spacing(part, spacing)
        self._thin(_CLOSE * spacing)
        if len(self.places) == 2:
            self._put_in(np.array([0]))

    def settled(self) -> Plot:
        """With points put in until the batten keeps within the limit, or no more help."""
        best = self._plot()
        for _ in range(_ROUNDS):
            if best.strays <= LIMIT or not self._put_in(np.flatnonzero(self._strays() > LIMIT)):
                break
            best = min(best, self._plot(), key=lambda found: found.strays)
        return best

    def _plot(self) -> Plot:
        most = float(self._strays().max())
        axes, added = tuple(self.axes.tolist()), tuple(self.added.tolist())
        return Plot(axes, self.true, self.marked, added, self.reading, most, most)

    def _strays(self) -> Floats:
        """How far the batten strays in each interval; none of it between two marks that have come to be one."""
        apart = np.concatenate(([True], np.any(np.diff(self.marked, axis=0) != 0.0, axis=1)))
        found = np.zeros(len(self.places) - 1)
        if apart.sum() > 1:
            found[np.flatnonzero(apart)[1:] - 1] = batten_strays(self.curve, self.marked[apart], self.places[apart])
        return found

    def _axis(self, part: int) -> int:
        ahead = self.curve.velocity(self.cuts[part : part + 2].mean(keepdims=True))[0]
        return 0 if abs(ahead[0]) >= abs(ahead[1]) else 1

    def _at_spacing(self, part: int, spacing: float) -> None:
        """Points at whole spacings in the part between two diagonals."""
        axis = self._axis(part)
        low, high = sorted(self.curve.at(self.cuts[part : part + 2])[:, axis].tolist())
        u = spacing * np.arange(np.ceil(low / spacing), np.floor(high / spacing) + 1)
        self._take(axis, part, u[(u > low + _SAME) & (u < high - _SAME)], added=False)

    def _take(self, axis: int, part: int, u: Floats, *, added: bool) -> None:
        if not len(u):
            return
        t = self.curve.where(axis, u, float(self.cuts[part]), float(self.cuts[part + 1]))
        true = self.curve.at(t)
        true[:, axis] = u
        marked = _rounded(true, self.reading)
        places = np.concatenate((self.places, t))
        order = np.argsort(places, kind="stable")
        self.places = places[order]
        self.axes = np.concatenate((self.axes, np.full(len(u), axis)))[order]
        self.added = np.concatenate((self.added, np.full(len(u), added)))[order]
        self.true = np.concatenate((self.true, true))[order]
        self.marked = np.concatenate((self.marked, marked))[order]

    def _thin(self, close: float) -> None:
        """Leave out points that lie closer to the one before, or to the end, than anybody can use."""
        at, keep = self.true.tolist(), [True] * len(self.places)
        last = at[0]
        for k in range(1, len(at) - 1):
            near = min(np.hypot(at[k][0] - p[0], at[k][1] - p[1]) for p in (last, at[-1]))
            keep[k] = bool(near >= close)
            last = at[k] if keep[k] else last
        kept = np.array(keep)
        self.places, self.axes, self.added = self.places[kept], self.axes[kept], self.added[kept]
        self.true, self.marked = self.true[kept], self.marked[kept]

    def _put_in(self, intervals: Ints) -> bool:
        """A point in each of some intervals, near its middle, where a rule can be set to it; whether there was any."""
        before = len(self.places)
        lows, highs = self.places[intervals], self.places[intervals + 1]
        ends = np.stack((self.true[intervals], self.true[intervals + 1]))
        for share in _SHARES:
            wished = lows + share * (highs - lows)
            done = np.zeros(len(wished), np.bool_)
            parts = np.clip(np.searchsorted(self.cuts, wished, "right") - 1, 0, len(self.cuts) - 2)
            for part in np.unique(parts).tolist():
                here = np.flatnonzero(parts == part)
                done[here] = self._set(part, wished[here], (lows[here], highs[here]), ends[:, here])
            lows, highs, ends = lows[~done], highs[~done], ends[:, ~done]
            if not len(lows):
                break
        return len(self.places) > before

    def _set(self, part: int, wished: Floats, between: tuple[Floats, Floats], ends: Floats) -> Flags:
        """Points of a part beside places that are wished for; which of them could be had."""
        axis = self._axis(part)
        limits = np.sort(self.curve.at(self.cuts[part : part + 2])[:, axis])
        u = _rounded(self.curve.at(wished)[:, axis], self.reading)
        inside = (u > limits[0]) & (u < limits[1])
        t = self.curve.where(axis, np.clip(u, *limits), float(self.cuts[part]), float(self.cuts[part + 1]))
        clear = np.hypot(*np.moveaxis(self.curve.at(t) - ends, 2, 0)).min(axis=0) > 0.9 * self.reading
        good: Flags = inside & clear & (t > between[0]) & (t < between[1])
        self._take(axis, part, u[good], added=True)
        return good


def _rounded(values: Floats, reading: float) -> Floats:
    """To whole readings, a half away from zero."""
    found: Floats = np.copysign(np.floor(np.abs(values) / reading + 0.5 + 1e-9), values) * reading
    return found
