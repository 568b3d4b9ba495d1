"""What a file shows against what the model asks for: each found once, in its place, of its size, and nothing else."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct, field

from app.errors import ProofError
from app.geometry.nearest import Places
from app.proof.curves import Trace
from app.proof.result import TOLERANCE
from app.proof.rims import RimLine
from app.proof.rings import Ring
from app.proof.wanted import WantedCut

Bools = npt.NDArray[np.bool_]

_WHOLE = math.radians(270.0)
"""A circle may be broken where it would run through the centre of another, but most of it is there."""

_BARE = 0.8
"""How near to the middle of a line a centre lies that may have the line broken, at most [mm]."""


class ProofTally(Struct):
    """What has been found so far, and how far off it was at most.

    Args:
        where: the file or page, for messages.
        largest: largest difference so far [mm].
        cuts: the cuts found.
    """

    where: str
    largest: float = 0.0
    cuts: set[WantedCut] = field(default_factory=set)

    def note(self, difference: float) -> None:
        """Take a difference into account [mm]."""
        self.largest = max(self.largest, difference)

    def refuse(self, what: str) -> ProofError:
        """The error for a file that does not show what it should."""
        return ProofError(
            f"{self.where} does not show what the design asks for: {what}. The file is withheld. This is a "
            "fault in Holewise: please report it with the design, and until it is fixed, mark out by the "
            "coordinates."
        )


class Round:
    """Round cuts, to be looked for in one file or on one sheet after another.

    Args:
        cuts: those that are round among the cuts given.
    """

    def __init__(self, cuts: Sequence[WantedCut]) -> None:
        self.cuts = tuple(cut for cut in cuts if cut.is_circle)
        self.rows = np.array([(*cut.at, 2 * cut.radius) for cut in self.cuts]).reshape(-1, 3)
        self.again = np.array([cut.again for cut in self.cuts], np.bool_)
        self._places = Places(self.rows[:, :2])

    def near(self, rings: Sequence[Ring]) -> list[dict[int, float]]:
        """For each circle of a file the rows of the cuts it may be, and how far it is off each [mm]."""
        found: list[dict[int, float]] = [{} for _ in rings]
        at = np.array([(ring.x, ring.y, ring.diameter) for ring in rings]).reshape(-1, 3)
        i, j = self._places.near(at[:, :2], 2 * TOLERANCE)
        away = np.abs(self.rows[j] - at[i])
        off = np.maximum(np.hypot(away[:, 0], away[:, 1]), away[:, 2])
        for ring, row, by in zip(i.tolist(), j.tolist(), off.tolist(), strict=True):
            if by <= TOLERANCE:
                found[ring][row] = by
        return found


def match_rings(
    rings: Sequence[Ring],
    round_cuts: Round,
    tally: ProofTally,
    *,
    needed: Bools | None = None,
    broken: Sequence[Trace] = (),
    once: bool = True,
) -> list[tuple[Ring, WantedCut]]:
    """Pair each circle of a file with the round cut it is; parts of one broken circle count as one.

    Args:
        rings: the circles found.
        round_cuts: the round cuts that may be there.
        tally: takes what is found.
        needed: which of them have to be there; all of them if None.
        broken: parts of circles; too short to find a centre by, so each has to lie on the circle of a cut.
        once: whether none may be drawn twice, as a machine would cut it twice.

    Raises:
        ProofError: one is missing, too many, or more than ``TOLERANCE`` away.
    """
    cuts, rows, again = round_cuts.cuts, round_cuts.rows, round_cuts.again
    needed = np.ones(len(cuts), np.bool_) if needed is None else needed
    turns = np.zeros(len(cuts))
    pairs: list[tuple[Ring, WantedCut]] = []
    strange: list[Ring] = []
    for ring, near in zip(rings, round_cuts.near(rings), strict=True):
        if not near:
            strange.append(ring)
            continue
        # Two operations may have one circle: the one not found yet comes first.
        best = min(near, key=lambda k: (turns[k] > 0.0, cuts[k].again, near[k]))
        if turns[best] > 0.0 and once:
            raise tally.refuse(f"the {cuts[best].words} is drawn twice")
        turns[best] += ring.turn
        tally.note(near[best])
        pairs.append((ring, cuts[best]))
    for trace in broken:
        best, turn, away_from = _arc_of(trace, rows, again)
        if away_from > TOLERANCE:
            x, y = trace.curves[0].a
            raise tally.refuse(f"there is an arc at x {x:.2f}, y {y:.2f} mm that nothing asks for")
        turns[best] += turn
        tally.note(away_from)
    # What is there whole is asked nothing more: the centres of all that have to be there are for the rest alone.
    short = np.nonzero(needed & ~again & (turns < _WHOLE))[0]
    missing = [cuts[k] for k in short if turns[k] < _least(cuts[k], rows[k, :2], rows[:, :2])]
    if missing or strange:
        raise tally.refuse(_odd(missing, strange))
    tally.cuts.update(cuts[k] for k in np.nonzero(~again & ((turns > 0.0) | needed))[0])
    return pairs


def _arc_of(trace: Trace, rows: npt.NDArray[np.float64], again: npt.NDArray[np.bool_]) -> tuple[int, float, float]:
    """The circle an arc lies on, how far it goes round it [radians], and how far it is off at most [mm].

    Of circles on each other it is the one that is not ``again``.
    """
    if not len(rows):
        return (0, 0.0, math.inf)
    points = np.array(trace.points())
    start = np.abs(np.hypot(*(rows[:, :2] - points[0]).T) - rows[:, 2] / 2)
    near = np.nonzero(start <= max(TOLERANCE, float(start.min())))[0]  # all points of the one it is on are as near
    rows, again = rows[near], again[near]
    local = points[None, :, :] - rows[:, None, :2]
    off = np.abs(np.hypot(local[..., 0], local[..., 1]) - rows[:, None, 2] / 2).max(axis=1)
    best = int(np.where(again & (off <= TOLERANCE), TOLERANCE + off, off).argmin())
    angles = np.unwrap(np.arctan2(local[best, :, 1], local[best, :, 0]))
    return (int(near[best]), abs(float(angles[-1] - angles[0])), float(off[best]))


def _least(cut: WantedCut, at: npt.NDArray[np.float64], centres: npt.NDArray[np.float64]) -> float:
    """How much of a circle has to be there [radians]: most, unless the centre of another lies on its line."""
    apart = np.hypot(*(centres - at).T)
    if np.abs(apart[apart > 1e-6] - cut.radius).min(initial=math.inf) > _BARE:
        return _WHOLE
    return 0.0 if cut.radius < _BARE else 1e-6


def _odd(missing: Sequence[WantedCut], strange: Sequence[Ring]) -> str:
    """What is wrong, by the nearest pair of what is missing and what is there instead."""
    if not missing:
        ring = strange[0]
        return f"there is a circle of {ring.diameter:.2f} mm at x {ring.x:.2f}, y {ring.y:.2f} mm that nothing asks for"
    if not strange:
        more = f", and {len(missing) - 1} more" if len(missing) > 1 else ""
        return f"the {missing[0].words} is missing{more}"
    pairs = ((c, r) for c in missing for r in strange)
    cut, ring = min(pairs, key=lambda pair: math.dist((*pair[0].at, 2 * pair[0].radius), (*_at(pair[1]),)))
    return (
        f"the {cut.words} is drawn {ring.diameter:.2f} mm wide at x {ring.x:.2f}, y {ring.y:.2f} mm, "
        f"{math.dist(cut.at, (ring.x, ring.y)):.2f} mm from its place"
    )


def _at(ring: Ring) -> tuple[float, float, float]:
    return (ring.x, ring.y, ring.diameter)


def match_rims(
    traces: Sequence[Trace],
    wanted: Sequence[RimLine],
    tally: ProofTally,
    *,
    optional: Sequence[RimLine] = (),
    once: bool = True,
) -> list[tuple[Trace, RimLine]]:
    """Pair each closed line of a file with the rim it is.

    Raises:
        ProofError: one is missing, too many, open, or somewhere more than ``TOLERANCE`` away.
    """
    rims = [*wanted, *optional]
    left = list(range(len(rims)))
    found: set[int] = set()
    pairs: list[tuple[Trace, RimLine]] = []
    boxes = np.array([rim.box for rim in rims]).reshape(-1, 4)
    for trace in traces:
        near = _about(trace, boxes)
        off = {k: rims[k].difference(trace) for k in left if near[k]}
        if min(off.values(), default=math.inf) > TOLERANCE:  # then the nearest of all is named
            off = {k: rims[k].difference(trace) for k in left}
        # Of rims that lie on each other the first that is not found yet comes first.
        ranks = {k: (by > TOLERANCE, k in found, rims[k].again, by) for k, by in off.items()}
        best = min(ranks, key=lambda k: ranks[k], default=-1)
        if best < 0:
            raise tally.refuse(_odd_rim(trace, None, 0.0))
        if off[best] > TOLERANCE:
            raise tally.refuse(_odd_rim(trace, rims[best], off[best]))
        if not trace.closed:
            raise tally.refuse(f"the line of the {rims[best].words} is open")
        found.add(best)
        if once:
            left.remove(best)
        tally.note(off[best])
        pairs.append((trace, rims[best]))
    missing = [rims[k].words for k in range(len(wanted)) if k not in found and not rims[k].again]
    if missing:
        raise tally.refuse(f"the {missing[0]} is missing")
    tally.cuts.update(rim.cut for _, rim in pairs if rim.cut is not None and not rim.again)
    return pairs


def _about(trace: Trace, boxes: npt.NDArray[np.float64]) -> Bools:
    """Which of the boxes x0, y0, x1, y1 hold all points of a line, or nearly so."""
    points = np.array(trace.points())
    (x0, y0), (x1, y1) = points.min(axis=0) + TOLERANCE, points.max(axis=0) - TOLERANCE
    held: Bools = (boxes[:, 0] <= x0) & (boxes[:, 1] <= y0) & (boxes[:, 2] >= x1) & (boxes[:, 3] >= y1)
    return held


def _odd_rim(trace: Trace, rim: RimLine | None, off: float) -> str:
    x, y = trace.curves[0].a
    at = f"at x {x:.2f}, y {y:.2f} mm"
    if rim is None:
        return f"there is a line {at} that nothing asks for"
    return f"a line {at} is not the rim of anything; the nearest is the {rim.words}, {off:.2f} mm away"
