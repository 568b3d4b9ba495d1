"""Where to put the seams along one axis: an exact search over every place that can matter.

A seam's cost changes only where it begins or ceases to come near a hole: at a hole's centre ± some distance.
Costs are counts of open intervals, so the best places are reached at such a point or where the windows
leave no further choice; those are the candidates, and a dynamic programme looks at all their combinations.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

THROUGH = 1.0
"""A seam closer than this to a centre runs through it: the punch mark would be on the joint [mm]."""

NEAR = 10.0
"""A seam closer than this to a centre is better avoided [mm]."""

BREATH = 1.0
"""A seam closer than this to a hole's rim counts as cutting it: a joint along a line hides the line [mm]."""

_TINY = 1e-7
_WEIGHTS = (10**12, 10**6, 1)  # no board has a million holes


class Cost(Struct, frozen=True):
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


class Holes(Struct, frozen=True, dict=True):
    """Centres and radii of what is drilled, along one axis [mm]; sorted once for all layouts of the paper."""

    at: Floats
    radius: Floats

    def cost(self, seams: Floats) -> Ints:
        """Weighted count for each of ``seams``: through, near, cut, in this order.

        A seam is in an open interval about a centre if it is beyond its low end and not beyond its high one, so both
        ends are counted in sorted rows instead of every seam against every hole.
        """
        found = np.zeros(len(seams), np.int64)
        for weight, (low, high) in zip(_WEIGHTS, self._ends, strict=True):
            found += weight * (low.searchsorted(seams, "left") - high.searchsorted(seams, "right"))
        return found

    @cached_property
    def _ends(self) -> list[tuple[Floats, Floats]]:
        """Where being run through, come near and cut begins and ends, each sorted."""
        return [(np.sort(self.at - (reach - _TINY)), np.sort(self.at + (reach - _TINY))) for reach in self._reaches()]

    @cached_property
    def edges(self) -> Floats:
        """Every place where a seam's cost can change, sorted."""
        ends = [edge for reach in self._reaches() for edge in (self.at - reach, self.at + reach)]
        return np.sort(np.concatenate(ends))

    def _reaches(self) -> tuple[Floats, Floats, Floats]:
        """How far from each centre a seam runs through it, comes near it, cuts its hole [mm]."""
        return np.full_like(self.at, THROUGH), np.full_like(self.at, NEAR), self.radius + BREATH


def sheets_needed(length: float, room: float, overlap: float) -> int:
    """Fewest windows ``room`` wide, each overlapping the next by ``overlap``, that cover ``length`` [mm]."""
    if length <= room + _TINY:
        return 1
    return 1 + int(np.ceil((length - room) / (room - overlap) - _TINY))


def least_share(length: float, room: float, overlap: float) -> float:
    """What one window fewer would leave of ``length``: the part each has between its seams is no narrower [mm]."""
    return length - room - (sheets_needed(length, room, overlap) - 2) * (room - overlap)


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
    edges = holes.edges
    stages = []
    for k in range(1, count):
        first = max(low + half, high + half - (count - k) * step - overlap)
        last = min(low + room - half + (k - 1) * step, high - half)
        stages.append(_candidates(first, last, step, count, edges, _even_places(even, k - 1, step)))
    splits = np.cumsum([len(stage) for stage in stages])[:-1]
    costs = np.split(holes.cost(np.concatenate(stages)), splits)
    seams, total = _best_path(stages, costs, even, step)
    uneven = float(((np.array(seams) - np.array(even)) ** 2).sum())
    through, rest = divmod(total, _WEIGHTS[0])
    cost = Cost(through, rest // _WEIGHTS[1], rest % _WEIGHTS[1], uneven)
    return tuple(seams), cost, sum(len(stage) for stage in stages)


def _even_places(even: Sequence[float], k: int, step: float) -> Floats:
    """Where seam ``k`` is most even: by itself, or where a run of seams as far apart as windows allow is as a whole.

    The first of a run i … j, each ``step`` after the one before, is best at the mean of even[q] − (q − i) · step.
    """
    sums = np.concatenate(([0.0], np.cumsum(even)))
    i, j = np.arange(k + 1)[:, None], np.arange(k, len(even))[None, :]
    length = j - i + 1
    first = (sums[j + 1] - sums[i]) / length - step * (length - 1) / 2
    return np.asarray(first + (k - i) * step, np.float64).ravel()


def _candidates(first: float, last: float, step: float, count: int, edges: Floats, even: Floats) -> Floats:
    """The ends and every place between them where a seam's cost can change, sorted.

    That of this seam, or that of one pressed against it, ``step`` from seam to seam.
    """
    shifts = step * np.arange(1 - count, count)
    low = np.searchsorted(edges, first - shifts - 2 * _TINY)
    high = np.searchsorted(edges, last - shifts + 2 * _TINY)
    marks = [edges[a:b] + shift for a, b, shift in zip(low, high, shifts, strict=True)]
    found = np.unique(np.round(np.concatenate([np.array([first, last]), even, *marks]), 9))
    return found[(found >= first - _TINY) & (found <= last + _TINY)]


def _best_path(
    stages: Sequence[Floats], costs: Sequence[Ints], even: Sequence[float], step: float
) -> tuple[list[float], int]:
    """The cheapest choice of one candidate for each seam, neighbours no more than ``step`` apart, and its counts.

    Of equal counts, the seams nearest to even spacing. From the last seam to the first, each candidate
    remembers the cheapest choice of those that may follow it.
    """
    counts, uneven, later = np.zeros(1, np.int64), np.zeros(1), np.array([-np.inf])
    chosen: list[npt.NDArray[np.intp]] = []
    for stage, cost, at in zip(reversed(stages), reversed(costs), reversed(even), strict=True):
        # The last that may follow; of it and all before it the cheapest, found by its rank among all.
        order = np.lexsort((uneven, counts))
        rank = np.empty(len(order), np.intp)
        rank[order] = np.arange(len(order))
        cheapest = order[np.minimum.accumulate(rank)]
        pick = cheapest[np.searchsorted(later, stage + step + _TINY) - 1]
        counts, uneven, later = cost + counts[pick], (stage - at) ** 2 + uneven[pick], stage
        chosen.append(pick)
    index = int(np.lexsort((uneven, counts))[0])
    total = int(counts[index])
    path = []
    for stage, picks in zip(stages, reversed(chosen), strict=True):
        path.append(float(stage[index]))
        index = int(picks[index])
    return path, total
