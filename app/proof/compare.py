"""What a file shows against what the model asks for: each found once, in its place, of its size, and nothing else."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from app.errors import ProofError
from app.proof.curves import Ring, Trace
from app.proof.result import TOLERANCE
from app.proof.rims import Rim
from app.proof.wanted import Wanted

_WHOLE = math.radians(270.0)
"""A circle may be broken where it would run through the centre of another, but most of it is there."""


@dataclass(slots=True)
class Tally:
    """What has been found so far, and how far off it was at most.

    Args:
        where: the file or page, for messages.
        largest: largest difference so far [mm].
        cuts: the cuts found.
    """

    where: str
    largest: float = 0.0
    cuts: set[Wanted] = field(default_factory=set)

    def note(self, difference: float) -> None:
        """Take a difference into account [mm]."""
        self.largest = max(self.largest, difference)

    def refuse(self, what: str) -> ProofError:
        """The error for a file that does not show what it should."""
        return ProofError(
            f"{self.where} does not show what the design asks for: {what}. The file is withheld. This is a fault of "
            "ours: please report it with the design; until it is mended, mark out by the coordinates."
        )


def match_rings(
    rings: Sequence[Ring], wanted: Sequence[Wanted], tally: Tally, *, optional: Sequence[Wanted] = ()
) -> list[tuple[Ring, Wanted]]:
    """Pair each circle of a file with the round cut it is; parts of one broken circle count as one.

    Args:
        rings: the circles found.
        wanted: the round cuts that have to be there.
        tally: takes what is found.
        optional: further ones that may be there.

    Raises:
        ProofError: one is missing, too many, or more than ``TOLERANCE`` away.
    """
    cuts = [*wanted, *optional]
    turns = dict.fromkeys(range(len(cuts)), 0.0)
    pairs: list[tuple[Ring, Wanted]] = []
    rows = np.array([(*cut.at, 2 * cut.radius) for cut in cuts]).reshape(-1, 3)
    strange: list[Ring] = []
    for ring in rings:
        away = np.abs(rows - (ring.x, ring.y, ring.diameter))
        off = np.maximum(np.hypot(away[:, 0], away[:, 1]), away[:, 2]) if len(rows) else np.array([])
        # Two operations may have one circle: the one not found yet comes first.
        order = sorted(
            range(len(cuts)), key=lambda k: (off[k] > TOLERANCE, turns[k] + ring.turn > 2 * math.pi + 0.1, off[k])
        )
        if not order or off[order[0]] > TOLERANCE:
            strange.append(ring)
            continue
        best = order[0]
        turns[best] += ring.turn
        if turns[best] > 2 * math.pi + 0.1:
            raise tally.refuse(f"the {cuts[best].words} is drawn twice")
        tally.note(float(off[best]))
        pairs.append((ring, cuts[best]))
    missing = [cut for k, cut in enumerate(wanted) if turns[k] < _WHOLE]
    if missing or strange:
        raise tally.refuse(_odd(missing, strange))
    tally.cuts.update(cut for _, cut in pairs)
    return pairs


def _odd(missing: Sequence[Wanted], strange: Sequence[Ring]) -> str:
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
    traces: Sequence[Trace], wanted: Sequence[Rim], tally: Tally, *, optional: Sequence[Rim] = ()
) -> list[tuple[Trace, Rim]]:
    """Pair each closed line of a file with the rim it is.

    Raises:
        ProofError: one is missing, too many, open, or somewhere more than ``TOLERANCE`` away.
    """
    rims = [*wanted, *optional]
    left = list(range(len(rims)))
    pairs: list[tuple[Trace, Rim]] = []
    for trace in traces:
        off = {k: rims[k].difference(trace) for k in left}
        best = min(off, key=lambda k: off[k], default=-1)
        if best < 0:
            raise tally.refuse(_odd_rim(trace, None, 0.0))
        if off[best] > TOLERANCE:
            raise tally.refuse(_odd_rim(trace, rims[best], off[best]))
        if not trace.closed:
            raise tally.refuse(f"the line of the {rims[best].words} is open")
        left.remove(best)
        tally.note(off[best])
        pairs.append((trace, rims[best]))
    missing = [rims[k].words for k in left if k < len(wanted)]
    if missing:
        raise tally.refuse(f"the {missing[0]} is missing")
    tally.cuts.update(rim.cut for _, rim in pairs if rim.cut is not None)
    return pairs


def _odd_rim(trace: Trace, rim: Rim | None, off: float) -> str:
    x, y = trace.curves[0].a
    at = f"at x {x:.2f}, y {y:.2f} mm"
    if rim is None:
        return f"there is a line {at} that nothing asks for"
    return f"a line {at} is no rim of anything; the nearest is the {rim.words}, {off:.2f} mm away"
