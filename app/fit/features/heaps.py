"""Heaps: many placements whose holes run into the hole of one of them, told as one finding and not pair by pair.

Every two of ``n`` parts on one spot are ``n (n - 1) / 2`` pairs, and each would be a stop of three rules: of three
thousand parts some millions. One finding says the same. Of a heap one placement stands for all of it before the rules
about pairs; the rules about a placement and the board judge each of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from app.fit.features.features import HOLE, Features, Flags, Floats, Ints

HEAP = "heap"
"""Cause of a finding about a heap; its first subject is the one the others are on."""

MOST = 8
"""So many placements on one are told pair by pair: it is seen at a glance which they are."""


class Heap(Struct, frozen=True):
    """Placements on one of them: the hole of each overlaps its hole as they are drawn.

    Args:
        first: index of the one they are on.
        others: indices of the others; more than ``MOST``.
    """

    first: int
    others: tuple[int, ...]


def heaps_of(features: Features, ids: Sequence[str], order: Callable[[str], Any]) -> tuple[Heap, ...]:
    """The heaps of a board, each placement in one at most; the same whatever order the placements stand in.

    Args:
        features: what the placements bring.
        ids: of the placements.
        order: key by which ids are sorted: the first of a heap is the one the others are on.
    """
    discs = _discs(features, len(ids))
    crowded = _crowded(discs).tolist()
    candidates = np.array(sorted(crowded, key=lambda k: order(ids[k])), np.intp)
    found = []
    while len(candidates) > MOST:
        first, candidates = candidates[0], candidates[1:]
        gap = discs[candidates] - discs[first]
        near = np.hypot(gap[:, 0], gap[:, 1]) < discs[candidates, 2] + discs[first, 2]
        if near.sum() > MOST:
            found.append(Heap(int(first), tuple(candidates[near].tolist())))
            candidates = candidates[~near]
    return tuple(found)


def stacked(heaps: Sequence[Heap], count: int) -> Flags:
    """Which placements lie on another in a heap, shape (count,); the one that stands for the heap does not."""
    found = np.zeros(count, np.bool_)
    for heap in heaps:
        found[list(heap.others)] = True
    return found


def _discs(features: Features, count: int) -> Floats:
    """The largest disc found in a hole of each placement: x, y, radius, shape (count, 3) [mm]; radius 0 without one."""
    rows = features.of(HOLE)
    many = features.shapes.counts[rows]
    points = features.shapes.points[rows, : int(many.max(initial=1))]
    middle, radius = _inner_discs(points, many, features.shapes.radii[rows])
    order = np.lexsort((radius, features.owner[rows]))
    discs = np.zeros((count, 3))
    discs[features.owner[rows][order]] = np.column_stack((middle, radius))[order]  # the last, the largest, stays
    return discs


def _inner_discs(points: Floats, many: Ints, radii: Floats) -> tuple[Floats, Floats]:
    """Middles, shape (n, 2), and radii, shape (n,), of the largest discs found in shapes [mm]."""
    if points.shape[1] == 1:
        return points[:, 0], radii  # round ones
    real = np.arange(points.shape[1]) < many[:, None]
    middle = (points * real[..., None]).sum(axis=1) / np.maximum(many, 1)[:, None]
    along = np.roll(points, -1, axis=1) - points
    along[np.arange(len(points)), many - 1] = (
        points[:, 0] - points[np.arange(len(points)), many - 1]
    )  # from the last point
    out = middle[:, None] - points
    length = np.hypot(along[..., 0], along[..., 1])
    with np.errstate(divide="ignore", invalid="ignore"):
        span = np.abs(along[..., 0] * out[..., 1] - along[..., 1] * out[..., 0]) / length
    inner = np.where(real & (length > 0), span, np.inf).min(axis=1, initial=np.inf)
    return middle, radii + np.where(np.isfinite(inner), inner, 0.0)


def _crowded(discs: Floats) -> Ints:
    """Those with more than ``MOST`` others in their cell and the eight around it: nothing else is in a heap."""
    inside = np.flatnonzero(discs[:, 2] > 0)
    if len(inside) <= MOST:
        return inside[:0]
    cell = 2 * float(discs[:, 2].max())
    column, row = np.floor(discs[inside, :2] / cell).astype(np.int64).T
    wide = int(np.ptp(column)) + 3
    key = (row - row.min() + 1) * wide + (column - column.min() + 1)
    known, back, many = np.unique(key, return_inverse=True, return_counts=True)
    around = np.zeros(len(known), np.int64)
    for step in (-wide - 1, -wide, -wide + 1, -1, 0, 1, wide - 1, wide, wide + 1):
        at = np.minimum(np.searchsorted(known, known + step), len(known) - 1)
        around += np.where(known[at] == known + step, many[at], 0)
    found: Ints = inside[around[back] > MOST]
    return found
