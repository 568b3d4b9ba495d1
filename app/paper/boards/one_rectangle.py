"""Rectangles laid side by side in one: greedily among the free places, or by every way there is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

Sides = tuple[float, float]
"""Width and height [mm]."""

_TINY: Final = 1e-9
_MOST: Final = 20_000
"""Places tried in one rectangle before the search gives up: about a second."""


class PackedRectangle(Struct, frozen=True):
    """Where a rectangle lies.

    Args:
        index: which one.
        x, y: its lower left corner [mm].
        turned: whether it is turned by a quarter.
    """

    index: int
    x: float
    y: float
    turned: bool


class FreePlaces:
    """The largest free rectangles of one that fills up, and what lies in it.

    Each new one goes where it leaves the least beside it, the rule of the best short side.

    Args:
        room: the rectangle [mm].
        turning: whether what is laid in it may be turned by a quarter.
    """

    def __init__(self, room: Sides, *, turning: bool) -> None:
        self.room, self.packed = room, list[PackedRectangle]()
        self._turning = turning
        self._free = [(0.0, 0.0, *room)]

    def put(self, index: int, sides: Sides) -> bool:
        """Lay a rectangle; whether there was a place for it."""
        best: tuple[tuple[float, float, float, float, bool], float, float, float, float] | None = None
        for turned in _turns(sides, self._turning):
            w, h = sides[::-1] if turned else sides
            for x0, y0, x1, y1 in self._free:
                beside, above = x1 - x0 - w, y1 - y0 - h
                if min(beside, above) < -_TINY:
                    continue
                key = (min(beside, above), max(beside, above), y0, x0, turned)
                if best is None or key < best[0]:
                    best = (key, x0, y0, w, h)
        if best is None:
            return False
        key, x, y, w, h = best
        self.packed.append(PackedRectangle(index, x, y, key[-1]))
        self._take((x, y, x + w, y + h))
        return True

    def _take(self, box: tuple[float, float, float, float]) -> None:
        x0, y0, x1, y1 = box
        left: list[tuple[float, float, float, float]] = []
        for u0, v0, u1, v1 in self._free:
            if x0 >= u1 - _TINY or x1 <= u0 + _TINY or y0 >= v1 - _TINY or y1 <= v0 + _TINY:
                left.append((u0, v0, u1, v1))
                continue
            parts = ((u0, v0, x0, v1), (x1, v0, u1, v1), (u0, v0, u1, y0), (u0, y1, u1, v1))
            left += [part for part in parts if part[2] - part[0] > _TINY and part[3] - part[1] > _TINY]
        left = list(dict.fromkeys(left))
        self._free = [one for one in left if not any(_holds(other, one) for other in left if other != one)]


def every_way(sides: Sequence[Sides], room: Sides, *, turning: bool) -> tuple[tuple[PackedRectangle, ...] | None, bool]:
    """Rectangles in one, if there is any way at all; and whether that is certain.

    Any way to lay them can be pushed to the lower left, and made in an order in which none lies left of and below the
    upper right corner of one before it; so that only the inner corners of the steps above those laid already need to
    be tried (Martello, Pisinger and Vigo, Operations Research 48, 2000). It is uncertain only where that takes too
    many tries.

    Args:
        sides: width and height of each [mm].
        room: the rectangle they are to lie in [mm].
        turning: whether they may be turned by a quarter.
    """
    search = _RectangleSearch(sides, room, turning)
    found = search.laid(frozenset(range(len(sides))), ())
    return found, found is not None or search.tries < _MOST


class _RectangleSearch:
    """A search through every way, first those with the largest rectangle in the corner."""

    def __init__(self, sides: Sequence[Sides], room: Sides, turning: bool) -> None:
        self._sides, self._room, self._turning = sides, room, turning
        self.tries = 0

    def laid(self, left: frozenset[int], packed: tuple[PackedRectangle, ...]) -> tuple[PackedRectangle, ...] | None:
        """All that is ``left`` laid beside ``packed``; None if there is no way, or the tries are used up."""
        if not left:
            return packed
        ends = [self._end(rectangle) for rectangle in packed]
        steps = _steps(ends)
        need = sum(self._sides[k][0] * self._sides[k][1] for k in left)
        if need > self._room[0] * self._room[1] - _under(steps) + 1e-6:
            return None
        seen: set[Sides] = set()
        for k in sorted(left, key=lambda k: (-self._sides[k][0] * self._sides[k][1], k)):
            if self._sides[k] in seen:  # one as large was tried here
                continue
            seen.add(self._sides[k])
            for turned in _turns(self._sides[k], self._turning):
                w, h = self._sides[k][::-1] if turned else self._sides[k]
                for x, y in _corners(steps):
                    if x + w > self._room[0] + _TINY or y + h > self._room[1] + _TINY:
                        continue
                    self.tries += 1
                    if self.tries >= _MOST:
                        return None
                    found = self.laid(left - {k}, (*packed, PackedRectangle(k, x, y, turned)))
                    if found is not None:
                        return found
        return None

    def _end(self, rectangle: PackedRectangle) -> Sides:
        w, h = self._sides[rectangle.index][::-1] if rectangle.turned else self._sides[rectangle.index]
        return (rectangle.x + w, rectangle.y + h)


def _steps(ends: Sequence[Sides]) -> list[Sides]:
    """The upper right corners that no other is beyond, from the left: a stair that goes down."""
    stair: list[Sides] = []
    for x, y in sorted(ends, key=lambda end: (-end[0], -end[1])):
        if not stair or y > stair[-1][1] + _TINY:
            stair.append((x, y))
    return stair[::-1]


def _corners(steps: Sequence[Sides]) -> Iterator[Sides]:
    """The inner corners of a stair, from the left."""
    edges = [(0.0, 0.0), *steps, (0.0, 0.0)]
    yield from ((before[0], after[1]) for before, after in pairwise(edges))


def _under(steps: Sequence[Sides]) -> float:
    """Area below a stair [mm²]."""
    return sum((x - before) * y for (before, _), (x, y) in pairwise([(0.0, 0.0), *steps]))


def _turns(sides: Sides, turning: bool) -> tuple[bool, ...]:
    return (False, True) if turning and sides[0] != sides[1] else (False,)


def _holds(outer: tuple[float, ...], inner: tuple[float, ...]) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]
