"""Where to put the seams along one axis: an exact search over every place that can matter.

A seam's cost changes only where it begins or ceases to come near a hole: at a hole's centre ± some distance.
Costs are counts of open intervals, so the best places are reached at such a point or where the windows
leave no further choice; those are the candidates, and a dynamic programme looks at all their combinations.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

THROUGH = 1.0
"""A seam closer than this to a centre runs through it: the punch mark would be on the joint [mm]."""

NEAR = 10.0
"""A seam closer than this to a centre is better avoided [mm]."""

BREATH = 1.0
"""A seam closer than this to a hole's rim counts as cutting it: a joint along a line hides the line [mm]."""

_TINY = 1e-7
_WEIGHTS = (10**12, 10**6, 1)  # no board has a million holes


@dataclass(frozen=True, slots=True)
class Cost:
    """What the seams of a tiling run into, worst first: smaller is better, in this order.

    Args:
        through: centres a seam runs through.
        near: centres a seam comes near.
        cut: holes a seam cuts.
        uneven: sum of squared distances of the seams from even spacing [mm²].
    """

    through: int
    near: int
    cut: int
    uneven: float

    def __add__(self, other: Cost) -> Cost:
        return Cost(
            self.through + other.through, self.near + other.near, self.cut + other.cut, self.uneven + other.uneven
        )

    @property
    def key(self) -> tuple[int, int, int, float]:
        """For comparing."""
        return (self.through, self.near, self.cut, round(self.uneven, 6))


@dataclass(frozen=True, slots=True)
class Holes:
    """Centres and radii of what is drilled, along one axis [mm]."""

    at: Floats
    radius: Floats

    def cost(self, seams: Floats) -> npt.NDArray[np.int64]:
        """Weighted count for each of ``seams``: through, near, cut, in this order."""
        off = np.abs(seams[:, None] - self.at[None, :])
        through = (off < THROUGH - _TINY).sum(axis=1)
        near = (off < NEAR - _TINY).sum(axis=1)
        cut = (off < self.radius[None, :] + BREATH - _TINY).sum(axis=1)
        return np.asarray(through * _WEIGHTS[0] + near * _WEIGHTS[1] + cut * _WEIGHTS[2], np.int64)


def sheets_needed(length: float, room: float, overlap: float) -> int:
    """Fewest windows ``room`` wide, each overlapping the next by ``overlap``, that cover ``length`` [mm]."""
    if length <= room + _TINY:
        return 1
    return 1 + int(np.ceil((length - room) / (room - overlap) - _TINY))


def place_seams(
    low: float, high: float, room: float, overlap: float, holes: Holes
) -> tuple[tuple[float, ...], Cost, int]:
    """The best seams for the fewest windows between ``low`` and ``high``.

    Args:
        low: where the drawing begins [mm].
        high: where it ends [mm].
        room: width of a window [mm].
        overlap: least overlap of two windows; the seam is in its middle [mm].
        holes: what is better not cut.

    Returns:
        The seams in order, one fewer than windows; what they run into; and how many places for them were weighed.
    """
    count = sheets_needed(high - low, room, overlap)
    if count == 1:
        return (), Cost(0, 0, 0, 0.0), 0
    step, half = room - overlap, overlap / 2
    even = [low + (high - low) * k / count for k in range(1, count)]
    stages = []
    for k in range(1, count):
        first = max(low + half, high + half - (count - k) * step - overlap)
        last = min(low + room - half + (k - 1) * step, high - half)
        stages.append(_candidates(first, last, step, count, holes, _even_places(even, k - 1, step)))
    seams = _best_path(stages, [holes.cost(s) for s in stages], even, step)
    chosen = np.array(seams)
    total = int(holes.cost(chosen).sum())
    uneven = float(((chosen - np.array(even)) ** 2).sum())
    through, rest = divmod(total, _WEIGHTS[0])
    cost = Cost(through, rest // _WEIGHTS[1], rest % _WEIGHTS[1], uneven)
    return tuple(seams), cost, sum(len(stage) for stage in stages)


def _even_places(even: Sequence[float], k: int, step: float) -> list[float]:
    """Where seam ``k`` is most even: by itself, or where a run of seams as far apart as windows allow is as a whole.

    The first of a run i … j, each ``step`` after the one before, is best at the mean of even[q] − (q − i) · step.
    """
    found = []
    for i in range(k + 1):
        for j in range(k, len(even)):
            first = sum(even[q] - (q - i) * step for q in range(i, j + 1)) / (j - i + 1)
            found.append(first + (k - i) * step)
    return found


def _candidates(first: float, last: float, step: float, count: int, holes: Holes, even: Sequence[float]) -> Floats:
    """Every place between ``first`` and ``last`` where a seam's cost can change, and the ends, sorted."""
    marks = [np.array([first, last, *even])]
    for reach in (np.full_like(holes.at, THROUGH), np.full_like(holes.at, NEAR), holes.radius + BREATH):
        for edge in (holes.at - reach, holes.at + reach):
            marks += [edge + m * step for m in range(1 - count, count)]
    found = np.unique(np.round(np.concatenate(marks), 9))
    return found[(found >= first - _TINY) & (found <= last + _TINY)]


def _best_path(
    stages: Sequence[Floats], costs: Sequence[npt.NDArray[np.int64]], even: Sequence[float], step: float
) -> list[float]:
    """The cheapest choice of one candidate for each seam, neighbours no more than ``step`` apart.

    Of equal counts, the seams nearest to even spacing. From the last seam to the first, each candidate
    remembers the cheapest choice of those that may follow it.
    """
    following: list[tuple[tuple[int, float], int]] = [((0, 0.0), -1)]
    chosen: list[list[int]] = []
    later: list[float] = []
    for stage, cost, at in zip(reversed(stages), reversed(costs), reversed(even), strict=True):
        totals: list[tuple[tuple[int, float], int]] = []
        picks: list[int] = []
        prefix = _prefix_best(following)
        for value, count in zip(stage.tolist(), cost.tolist(), strict=True):
            best, pick = prefix[bisect_left(later, value + step + _TINY) - 1 if later else 0]
            totals.append(((count + best[0], (value - at) ** 2 + best[1]), pick))
            picks.append(pick)
        chosen.append(picks)
        following = [(total, i) for i, (total, _) in enumerate(totals)]
        later = stage.tolist()
    index = min(following)[1]
    path = []
    for stage, picks in zip(stages, reversed(chosen), strict=True):
        path.append(float(stage[index]))
        index = picks[index]
    return path


def _prefix_best(totals: list[tuple[tuple[int, float], int]]) -> list[tuple[tuple[int, float], int]]:
    """For each place in the list the best of everything up to it."""
    best, found = totals[0], []
    for entry in totals:
        best = min(best, entry)
        found.append(best)
    return found
