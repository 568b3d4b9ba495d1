"""Too many parts for the area: a proof that needs no search.

N. Oler, An inequality in the geometry of numbers, Acta Mathematica 105 (1961): of points at least 1 apart, a convex
area A with perimeter P holds no more than 2 A / sqrt(3) + P / 2 + 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from app.fit.features.features import Flags, Floats, Ints
from app.room.constraints import Constraints
from app.room.linear_limits import is_square

_HAIR = 1e-6  # of a part, and mm
_EDGES = ("left", "front", "right", "back")


def most_points(width: float, height: float, apart: float) -> float:
    """No more points than this, each at least ``apart`` from every other, lie in a rectangle [mm]."""
    return 2 * width * height / (math.sqrt(3) * apart**2) + (width + height) / apart + 1


def are_too_many(members: Sequence[Constraints]) -> bool:
    """Whether the parts of a board are proven to be more than there is area for; of the first board only.

    Looked at are parts that may move, by the middles of their round features; those that need most room first.
    """
    constraints = members[0]
    apart, margins = _apart(constraints), _margins(constraints)
    if not is_square(constraints.layout.board.outline):  # what lies beyond may be another edge, that asks for less
        margins = np.tile(margins.min(axis=1)[:, None], (1, len(_EDGES)))
    moving = np.flatnonzero((constraints.unit >= 0) & np.isfinite(margins).all(axis=1))
    order = sorted(moving.tolist(), key=lambda i: -float(margins[i].sum()))
    x0, y0, x1, y1 = constraints.layout.board.outline.bounds
    for count in range(2, len(order) + 1):
        some = order[:count]
        between = apart[np.ix_(some, some)][np.triu_indices(count, 1)].min()
        left, front, right, back = (margins[some, k].min() for k in range(4))
        width, height = x1 - x0 - left - right, y1 - y0 - front - back
        if between <= 0 or min(width, height) < 0:
            continue
        if count > most_points(width + _HAIR, height + _HAIR, between - _HAIR) + _HAIR:
            return True
    return False


def _central(constraints: Constraints, centres: Floats, owner: Ints) -> Flags:
    """Which features are about the origin of their placement."""
    at = np.array([(p.x, p.y) for p in constraints.layout.placed] + [(np.inf, np.inf)])[owner]
    found: Flags = np.abs(centres - at).max(axis=1, initial=0.0) < _HAIR
    return found


def _apart(constraints: Constraints) -> Floats:
    """How far placements have to be from each other, at least, shape (n, n) [mm]."""
    n = len(constraints.layout.placed)
    found = np.zeros((n + 1, n + 1))
    for need in constraints.apart:
        a, b, i, j = need.a, need.b, need.first, need.second
        which = (a.shapes.circular[i] & _central(constraints, a.shapes.centres, a.owner)[i]) & (
            b.shapes.circular[j] & _central(constraints, b.shapes.centres, b.owner)[j]
        )
        i, j = i[which], j[which]
        asked = need.need[which] + a.shapes.radii[i] + b.shapes.radii[j]
        np.maximum.at(found, (a.owner[i], b.owner[j]), asked)
        np.maximum.at(found, (b.owner[j], a.owner[i]), asked)
    return found[:n, :n]


def _margins(constraints: Constraints) -> Floats:
    """How far placements have to be inside of the left, front, right and back edge, shape (n, 4) [mm]; −inf if free."""
    found = np.full((len(constraints.layout.placed), 4), -np.inf)
    for need in constraints.inside:
        shapes, owner = need.features.shapes, need.features.owner
        which = shapes.circular & _central(constraints, shapes.centres, owner)
        asked = need.need[which] + shapes.radii[which]
        for k, edge in enumerate(_EDGES):
            if need.edge in (edge, None):
                np.maximum.at(found[:, k], owner[which], asked)
    return found
