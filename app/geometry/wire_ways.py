"""Ways for wires on a face: between points, round what stands there and inside a rim.

A shortest way bends only at corners of what it goes round, and there it is tangent to them. So the corners, and the
lines of sight between them that are tangent at both ends, are all the graph that is needed (the reduced visibility
graph: Rohnert, 1986). Round things are taken as regular octagons about them: a way is then longer than a taut string
would be, by 1.4 % of what it goes round at most, and never shorter.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.geometry.outline import Outline
from app.geometry.shapes import Point, Shape

if TYPE_CHECKING:
    import shapely
    from shapely.geometry.base import BaseGeometry

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

_HAIR: Final = 0.01  # mm: what is blocked is so much smaller than what is gone round, so that a way may touch it
_ROWS: Final = 128  # corners looked at together: their pairs with all others fit into a few megabytes
_NEAR: Final = 25.0  # mm of a line looked at first
_SAG: Final = 0.05  # mm; of a rim: what is lost of a curve is no more than a scribed line
_OCTAGON: Final = tuple((math.cos(math.pi * (2 * k + 1) / 8), math.sin(math.pi * (2 * k + 1) / 8)) for k in range(8))


class Obstacle(Struct, frozen=True):
    """What wires go round, and whose it is: wires of the same owner come out of it; −1 for nobody's."""

    shape: Shape
    owner: int = -1


class Ways(Struct, frozen=True, dict=True):
    """The face with its lines of sight: nodes are the points that wires join, then the corners they go round.

    Args:
        nodes: shape (n, 2) [mm].
        points: how many of them are points to be joined, the first ones.
        start: where the lines of each node begin in ``other`` and ``length``, shape (n + 1,).
        other: the node at the end of each line.
        length: of each [mm].
    """

    nodes: Floats
    points: int
    start: Ints
    other: Ints
    length: Floats

    @cached_property
    def near(self) -> list[list[tuple[float, int]]]:
        """Length and end of each line, node by node."""
        pairs = list(zip(self.length.tolist(), self.other.tolist(), strict=True))
        bounds = self.start.tolist()
        return [pairs[a:b] for a, b in pairwise(bounds)]

    def path(self, nodes: Sequence[int]) -> tuple[Point, ...]:
        """The places of nodes [mm]."""
        return tuple((float(x), float(y)) for x, y in self.nodes[list(nodes)])


def ways_among(
    outline: Outline, openings: Sequence[Outline], obstacles: Sequence[Obstacle], points: Sequence[Point], gap: float
) -> Ways:
    """Lines of sight between points, and corners of what stands between them.

    Args:
        outline: the rim that wires stay inside of.
        openings: holes of the face, which wires go round.
        obstacles: what else they go round; a point's own is that whose ``owner`` is its index.
        points: to be joined [mm].
        gap: kept to all of these [mm].
    """
    import shapely

    blocked = [grown(each.shape, gap - _HAIR) for each in obstacles]
    owners = [each.owner for each in obstacles]
    face = _face(outline, openings, gap)
    rims = _beyond(face)
    blocked += rims
    owners += [-1] * len(rims)
    corners = _Corners.of([grown(each.shape, gap) for each in obstacles], list(_rings(face)))
    tree = shapely.STRtree(blocked)
    if len(corners.at):
        inside = tree.query(shapely.points(corners.at), predicate="intersects")[0]
        free = np.ones(len(corners.at), np.bool_)
        free[inside] = False
        corners = corners.take(free)
    return _sighted(np.asarray(points, np.float64).reshape(-1, 2), corners, tree, np.asarray(owners, np.int64))


def grown(shape: Shape, by: float) -> shapely.Polygon:
    """A shape grown by ``by`` mm, as a polygon with few corners that holds all of it."""
    import shapely

    radius = max(shape.radius + by, _HAIR)
    if shape.is_circle:
        (x, y), r = shape.core[0], radius / math.cos(math.pi / 8)
        return shapely.Polygon([(x + r * c, y + r * s) for c, s in _OCTAGON])
    core = shapely.MultiPoint(shape.core).convex_hull
    found: shapely.Polygon = core.buffer(radius, join_style="mitre", cap_style="square", mitre_limit=2.0)
    return found


def _face(outline: Outline, openings: Sequence[Outline], gap: float) -> BaseGeometry:
    import shapely

    face = shapely.Polygon(outline.flattened(_SAG), [ring.flattened(_SAG) for ring in openings])
    return face.buffer(-gap, join_style="mitre", mitre_limit=2.0) if gap > 0 else face


def _beyond(face: BaseGeometry) -> list[shapely.Polygon]:
    """All round a face and in its openings, a hair away from it."""
    import shapely

    loose = face.buffer(_HAIR, join_style="mitre", mitre_limit=2.0)
    x0, y0, x1, y1 = loose.bounds if not loose.is_empty else (0.0, 0.0, 1.0, 1.0)
    around = shapely.box(x0 - 1e4, y0 - 1e4, x1 + 1e4, y1 + 1e4).difference(loose)
    parts: list[shapely.Polygon] = list(shapely.get_parts(around))
    return parts


def _rings(face: BaseGeometry) -> Iterator[Floats]:
    """The rings of a face, without their last point, the face on their left."""
    import shapely

    for part in shapely.get_parts(face):
        turned = shapely.orient_polygons(part)
        for ring in (turned.exterior, *turned.interiors):
            yield np.asarray(ring.coords, np.float64)[:-1]


class _Corners(Struct, frozen=True):
    """Corners that ways may bend at, each with the corner before and after it, all of shape (n, 2) [mm]."""

    at: Floats
    before: Floats
    after: Floats

    @classmethod
    def of(cls, things: Sequence[shapely.Polygon], rings: Sequence[Floats]) -> _Corners:
        """Every corner of things, and of the rings of a face those that point into it."""
        loops = [np.asarray(thing.exterior.coords, np.float64)[:-1] for thing in things]
        rows = [(loop, np.roll(loop, 1, 0), np.roll(loop, -1, 0)) for loop in loops]
        for ring in rings:
            before, after = np.roll(ring, 1, 0), np.roll(ring, -1, 0)
            into = _cross(ring - before, after - ring) < -1e-9  # the ring turns right there
            rows.append((ring[into], before[into], after[into]))
        if not rows:
            empty = np.zeros((0, 2))
            return cls(empty, empty, empty)
        return cls(*(np.concatenate([row[k] for row in rows]) for k in range(3)))

    def take(self, which: Flags) -> _Corners:
        return _Corners(self.at[which], self.before[which], self.after[which])


def _cross(a: Floats, b: Floats) -> Floats:
    crossed: Floats = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return crossed


def _tangent(corners: _Corners, rows: slice | Ints, toward: Floats) -> Flags:
    """Whether a line from each corner in a direction leaves its thing on one side, shape as of ``toward``."""
    at, before, after = corners.at[rows], corners.before[rows], corners.after[rows]
    if toward.ndim == 3:
        at, before, after = at[:, None], before[:, None], after[:, None]
    sides: Floats = _cross(toward, before - at) * _cross(toward, after - at)
    return sides >= -1e-9


def _sighted(points: Floats, corners: _Corners, tree: shapely.STRtree, owners: Ints) -> Ways:
    """The graph of all lines of sight."""
    many, nodes = len(points), np.concatenate([points, corners.at])
    first, second = [], []
    for a, b in _candidates(points, corners):
        first.append(a)
        second.append(b)
    one, other = np.concatenate(first), np.concatenate(second)
    clear = _clear(nodes, one, other, tree, owners)
    one, other = one[clear], other[clear]
    a, b = np.concatenate([one, other]), np.concatenate([other, one])
    length = np.hypot(*(nodes[a] - nodes[b]).T)
    order = np.lexsort((b, length, a))
    start = np.searchsorted(a[order], np.arange(len(nodes) + 1))
    return Ways(nodes, many, start, b[order], length[order])


def _candidates(points: Floats, corners: _Corners) -> Iterator[tuple[Ints, Ints]]:
    """Pairs of nodes, each once, that are tangent where they end at a corner."""
    many, count = len(points), len(corners.at)
    yield tuple(np.triu_indices(many, 1))  # type: ignore[misc]
    for k in range(many):
        seen = np.flatnonzero(_tangent(corners, slice(None), points[k] - corners.at))
        yield np.full(len(seen), k), seen + many
    for low in range(0, count, _ROWS):
        rows = slice(low, min(low + _ROWS, count))
        toward = corners.at[None] - corners.at[rows][:, None]
        near = _tangent(corners, rows, toward)
        near &= np.arange(count)[None] > np.arange(low, rows.stop)[:, None]
        a, b = np.nonzero(near)
        a += low
        far = _tangent(corners, b, corners.at[a] - corners.at[b])
        yield a[far] + many, b[far] + many


def _clear(nodes: Floats, one: Ints, other: Ints, tree: shapely.STRtree, owners: Ints) -> Flags:
    """Which lines meet nothing but what their own ends come out of.

    Most that are long are stopped near one of their ends, so a short piece there is looked at before the whole line.
    """
    import shapely

    long = np.hypot(*(nodes[one] - nodes[other]).T)
    left = np.arange(len(one))
    for a, b, reach in ((one, other, _NEAR), (other, one, _NEAR), (one, other, 5 * _NEAR), (one, other, np.inf)):
        start, end = nodes[a[left]], nodes[b[left]]
        part = np.minimum(1.0, reach / np.maximum(long[left], _HAIR))[:, None]
        lines = shapely.linestrings(np.stack([start, start + part * (end - start)], axis=1))
        line, thing = tree.query(lines, predicate="intersects")
        owner = owners[thing]
        own = (owner >= 0) & ((owner == one[left[line]]) | (owner == other[left[line]]))
        kept = np.ones(len(left), np.bool_)
        kept[line[~own]] = False
        left = left[kept]
    clear = np.zeros(len(one), np.bool_)
    clear[left] = True
    return clear


def parted(
    outline: Outline, openings: Sequence[Outline], obstacles: Sequence[Obstacle], points: Sequence[Point], gap: float
) -> list[int]:
    """In which free part of the face each point can come out of its own obstacle; −1 where in none.

    Two points have a way to each other if they share one; a point may come out into several, and is then told with
    the lowest number of all that its parts are joined by. As of :func:`ways_among`, and quicker: there is no graph.
    """
    import shapely

    blocked = [grown(each.shape, gap - _HAIR) for each in obstacles]
    face = _face(outline, openings, gap).buffer(_HAIR, join_style="mitre", mitre_limit=2.0)
    free = list(shapely.get_parts(face.difference(shapely.union_all(blocked)) if blocked else face))
    free = [part for part in free if part.area > _HAIR]
    rest = [
        shapely.union_all([b for b, each in zip(blocked, obstacles, strict=True) if each.owner == k])
        for k in range(len(points))
    ]
    group = list(range(len(free)))
    found = []
    tree = shapely.STRtree(free)
    others = shapely.STRtree(blocked) if blocked else None
    for k, (own, at) in enumerate(zip(rest, points, strict=True)):
        room = own if not own.is_empty else shapely.Point(at).buffer(_HAIR)
        if others is not None:
            taken = [blocked[i] for i in others.query(room) if obstacles[i].owner != k]
            room = room.difference(shapely.union_all(taken)) if taken else room
        here = [part for part in shapely.get_parts(room) if part.distance(shapely.Point(at)) <= _HAIR]
        mine = sorted({int(i) for i in tree.query(here[0], predicate="dwithin", distance=_HAIR)}) if here else []
        for i in mine[1:]:
            low, high = sorted((_root(group, mine[0]), _root(group, i)))
            group[high] = low
        found.append(mine[0] if mine else -1)
    return [_root(group, k) if k >= 0 else -1 for k in found]


def _root(group: list[int], k: int) -> int:
    while group[k] != k:
        k = group[k]
    return k
