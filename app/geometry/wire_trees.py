"""Ways in a graph of lines of sight: to one point from all, and the tree that joins points with the least wire."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Sequence

from msgspec import Struct

from app.geometry.wire_ways import Ways

Path = tuple[int, ...]
"""Nodes from end to end."""


class WireTree(Struct, frozen=True):
    """Two points joined.

    Args:
        one, other: their indices.
        length: of the way between them [mm].
        path: its nodes, from the one to the other.
    """

    one: int
    other: int
    length: float
    path: Path


def ways_to(ways: Ways, root: int, points: Collection[int], share: float = 1.0) -> dict[int, tuple[float, Path]]:
    """A way from each point to ``root``, with its length [mm]; a point without a way is left out.

    With a ``share`` below 1 ways run together where they can: the nearest point is joined first, and each further one
    to the way that is there already, of which a mm counts as ``share`` of one. No way is then longer than the shortest
    over ``share``. No way leads through another point.
    """
    near, many = ways.near, ways.points
    cost = {root: 0.0}
    long = {root: 0.0}
    back: dict[int, int] = {root: -1}
    left, found = set(points) - {root}, dict[int, tuple[float, Path]]()
    heap = [(0.0, root)]
    fixed = {root}
    while heap and left:
        here, node = heapq.heappop(heap)
        if here > cost[node]:
            continue
        if node < many and node != root:
            if node in left:
                left.discard(node)
                path = _traced(back, node)
                found[node] = long[node], path
                for each in path[1:]:
                    if each not in fixed:
                        fixed.add(each)
                        cost[each] = share * long[each]
                        heapq.heappush(heap, (cost[each], each))
            continue
        for length, other in near[node]:
            if other in fixed or (other < many and other not in left):
                continue
            then = here + length
            if then < cost.get(other, float("inf")):
                cost[other], long[other], back[other] = then, long[node] + length, node
                heapq.heappush(heap, (then, other))
    return found


def _traced(back: dict[int, int], node: int) -> Path:
    path = [node]
    while back[path[-1]] >= 0:
        path.append(back[path[-1]])
    return tuple(path)


def way_between(ways: Ways, one: int, other: int) -> WireTree | None:
    """The shortest way between two points; None where there is none. It looks no farther than it must (A*)."""
    near, many, nodes = ways.near, ways.points, ways.nodes
    gx, gy = nodes[other].tolist()
    places = nodes.tolist()
    cost, back, done = {one: 0.0}, {one: -1}, set[int]()
    heap = [(0.0, one)]
    while heap:
        _, node = heapq.heappop(heap)
        if node == other:
            return WireTree(one, other, cost[other], _traced(back, other)[::-1])
        if node in done:
            continue
        done.add(node)
        here = cost[node]
        for length, then in near[node]:
            if then < many and then != other:
                continue
            there = here + length
            if there < cost.get(then, float("inf")):
                cost[then], back[then] = there, node
                x, y = places[then]
                heapq.heappush(heap, (there + ((x - gx) ** 2 + (y - gy) ** 2) ** 0.5, then))
    return None


def least_tree(ways: Ways, points: Sequence[int]) -> list[WireTree]:
    """The tree over points with the least wire, each branch the shortest way between its two ends.

    Each node is given to the point nearest to it; the lines between nodes of two points hold every branch of a least
    tree (Mehlhorn, 1988), so that one search over the graph does instead of one for each point. Points that have no
    way to the others are in a tree of their own, or alone.
    """
    near, many = ways.near, ways.points
    wanted = set(points)
    cost, back, mine = dict.fromkeys(wanted, 0.0), dict.fromkeys(wanted, -1), {k: k for k in wanted}
    heap = [(0.0, k) for k in sorted(wanted)]
    done: set[int] = set()
    while heap:
        here, node = heapq.heappop(heap)
        if node in done:
            continue
        done.add(node)
        for length, other in near[node]:
            if other < many:
                continue
            then = here + length
            if then < cost.get(other, float("inf")):
                cost[other], back[other], mine[other] = then, node, mine[node]
                heapq.heappush(heap, (then, other))
    best: dict[tuple[int, int], tuple[float, int, int]] = {}
    for node in sorted(done):
        for length, other in near[node]:
            if other not in done or mine[other] == mine[node] or node > other:
                continue
            key = min(mine[node], mine[other]), max(mine[node], mine[other])
            whole = cost[node] + length + cost[other]
            if whole < best.get(key, (float("inf"), 0, 0))[0]:
                best[key] = whole, node, other
    return _kruskal(best, back, mine)


def _kruskal(
    best: dict[tuple[int, int], tuple[float, int, int]], back: dict[int, int], mine: dict[int, int]
) -> list[WireTree]:
    group = {k: k for pair in best for k in pair}

    def root(k: int) -> int:
        while group[k] != k:
            group[k] = group[group[k]]
            k = group[k]
        return k

    found = []
    for (_, _), (whole, node, other) in sorted(best.items(), key=lambda item: (item[1][0], item[0])):
        one, two = root(mine[node]), root(mine[other])
        if one != two:
            group[one] = two
            path = (*_traced(back, node)[::-1], *_traced(back, other))
            found.append(WireTree(path[0], path[-1], whole, path))
    return found
