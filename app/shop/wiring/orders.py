"""In which order terminals are joined: a ring through all of them, or the branches of the least tree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

import numpy as np

from app.geometry.shapes import Point
from app.geometry.wire_trees import WireTree, least_tree, way_between
from app.geometry.wire_ways import Ways

_TINY: Final = 1e-9


def ring_of(ways: Ways, root: int, points: Sequence[int]) -> list[WireTree]:
    """A ring from ``root`` through points and back, leg by leg; points without a way to it are left out.

    Its order is that of a walk round the least tree, then bettered leg by leg as long as two legs cross (2-opt): short,
    not proved the shortest. Each leg is the shortest way between its ends.
    """
    order = _walk(_rooted(least_tree(ways, [root, *points]), root), root)
    while len(order) > 1:
        order = [order[k] for k in shortened([_place(ways, k) for k in order])]
        pairs = list(zip(order, [*order[1:], order[0]], strict=True))
        legs = [way_between(ways, a, b) for a, b in pairs]
        found = [leg for leg in legs if leg is not None]
        if len(found) == len(legs):
            return found
        # Only where bodies stand in each other: who has no way to its neighbours is left out.
        stuck = Counter(k for pair, leg in zip(pairs, legs, strict=True) for k in pair if leg is None and k != root)
        order.remove(max(stuck, key=lambda k: (stuck[k], k)))
    return []


def _place(ways: Ways, node: int) -> Point:
    x, y = ways.nodes[node].tolist()
    return (x, y)


def tree_of(ways: Ways, root: int, points: Sequence[int]) -> list[WireTree]:
    """The branches of the least tree that holds ``root``, each from the end nearer to it; nearest first."""
    tree = _rooted(least_tree(ways, [root, *points]), root)
    found, stack = [], [root]
    while stack:
        here = stack.pop(0)
        found += tree.get(here, [])
        stack += [branch.other for branch in tree.get(here, [])]
    return found


def _rooted(branches: Sequence[WireTree], root: int) -> dict[int, list[WireTree]]:
    """Branches by their end nearer to the root, turned to lead away from it; without those that hang on nothing."""
    at: dict[int, list[WireTree]] = {}
    for branch in branches:
        at.setdefault(branch.one, []).append(branch)
        at.setdefault(branch.other, []).append(WireTree(branch.other, branch.one, branch.length, branch.path[::-1]))
    found: dict[int, list[WireTree]] = {}
    seen, stack = {root}, [root]
    while stack:
        here = stack.pop()
        away = sorted((b for b in at.get(here, []) if b.other not in seen), key=lambda b: (b.length, b.other))
        found[here] = away
        seen.update(b.other for b in away)
        stack += [b.other for b in away]
    return found


def _walk(tree: dict[int, list[WireTree]], root: int) -> list[int]:
    order, stack = [], [root]
    while stack:
        here = stack.pop()
        order.append(here)
        stack += [branch.other for branch in reversed(tree.get(here, []))]
    return order


def shortened(places: Sequence[Point]) -> list[int]:
    """Indices of places in a closed order that crosses itself nowhere, begun with the first; as given at worst."""
    n = len(places)
    order = list(range(n))
    if n < 4:
        return order
    at = np.asarray(places, np.float64)
    apart = np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    for _ in range(4 * n):
        now = np.array(order)
        after = np.roll(now, -1)
        leg = apart[now, after]
        # Legs i and j exchanged for those between their beginnings and between their ends.
        gain = leg[:, None] + leg[None] - apart[now[:, None], now[None]] - apart[after[:, None], after[None]]
        gain[np.tril_indices(n, 1)] = 0.0
        gain[0, n - 1] = 0.0
        i, j = divmod(int(gain.argmax()), n)
        if gain[i, j] <= _TINY:
            break
        order[i + 1 : j + 1] = order[i + 1 : j + 1][::-1]
    return order
