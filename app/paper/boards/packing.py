"""Rectangles on the fewest sheets: exactly where they are few, else by the best of many orders."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Final

from msgspec import Struct

from app.paper.boards.one_rectangle import FreePlaces, PackedRectangle, Sides, every_way

FEW: Final = 6
"""So many rectangles are laid in every way there is; of more only some orders are tried."""

_ORDERS: Final = 100
"""Further orders tried for more."""

_GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0  # its multiples fall everywhere between 0 and 1, and alike each time


class Bin(Struct, frozen=True):
    """What lies on one sheet.

    Args:
        kind: which of the rooms it is.
        packed: the rectangles on it.
    """

    kind: int
    packed: tuple[PackedRectangle, ...]


class Packing(Struct, frozen=True):
    """Rectangles laid on sheets.

    Args:
        bins: what lies on each.
        bound: no fewer sheets can do, by the area alone.
        fewest: whether it is certain that no fewer can do.
    """

    bins: tuple[Bin, ...]
    bound: int
    fewest: bool


def pack(sides: Sequence[Sides], rooms: Sequence[Sides], *, turning: bool = True) -> Packing:
    """Rectangles on as few sheets as can be found; unturned where that takes no more of them.

    Args:
        sides: width and height of each, with the gap between two of them [mm].
        rooms: what a sheet has room for, in each way it may lie, the preferred first [mm].
        turning: whether they may be turned by a quarter.

    Raises:
        ValueError: one fits no sheet in any way.
    """
    if not sides:
        return Packing((), 0, True)
    if not all(fits_alone(one, rooms, turning) for one in sides):
        raise ValueError("a rectangle is larger than every sheet")
    area = sum(w * h for w, h in sides)
    bound = max(1, math.ceil(area / max(w * h for w, h in rooms) - 1e-9))
    straight = None
    if all(fits_alone(one, rooms, False) for one in sides):
        straight, certain = _fewest(sides, rooms, False, bound)
        if not turning or len(straight) == bound:
            return Packing(straight, bound, certain or len(straight) == bound)
    bins, certain = _fewest(sides, rooms, True, bound)
    if straight is not None and len(straight) <= len(bins):
        bins = straight
    return Packing(bins, bound, certain or len(bins) == bound)


def fits_alone(sides: Sides, rooms: Sequence[Sides], turning: bool) -> bool:
    """Whether a rectangle fits any sheet by itself."""
    ways = (sides, sides[::-1]) if turning else (sides,)
    return any(w <= u + 1e-9 and h <= v + 1e-9 for w, h in ways for u, v in rooms)


def _fewest(sides: Sequence[Sides], rooms: Sequence[Sides], turning: bool, bound: int) -> tuple[tuple[Bin, ...], bool]:
    """The bins, and whether none can be saved."""
    best = min(_tried(sides, rooms, turning, bound), key=len)
    if len(best) == bound or len(sides) > FEW:
        return best, len(best) == bound
    exact = _Partitions(sides, rooms, turning)
    for count in range(bound, len(best)):
        found = exact.laid(count)
        if found is not None:
            return found, exact.certain
    return best, exact.certain


def _tried(sides: Sequence[Sides], rooms: Sequence[Sides], turning: bool, bound: int) -> Iterator[tuple[Bin, ...]]:
    """What several orders lead to, each with each way of a sheet; none after one that cannot be bettered."""
    for order in _orders(sides):
        for kind in range(len(rooms)):
            found = _in_order(order, sides, rooms, turning, kind)
            if found is not None:
                yield found
                if len(found) == bound:
                    return


def _orders(sides: Sequence[Sides]) -> Iterator[list[int]]:
    keys: tuple[Callable[[Sides], tuple[float, float]], ...] = (
        lambda s: (s[0] * s[1], max(s)),
        lambda s: (max(s), min(s)),
        lambda s: (min(s), max(s)),
        lambda s: (s[0], s[1]),
        lambda s: (s[1], s[0]),
    )
    for key in keys:
        yield sorted(range(len(sides)), key=lambda k: key(sides[k]), reverse=True)
    if len(sides) > FEW:
        order = sorted(range(len(sides)), key=lambda k: -sides[k][0] * sides[k][1])
        for turn in range(1, _ORDERS + 1):  # near the first order: a large one seldom comes well after small ones
            ranks = {k: rank + len(order) / 3 * ((rank + 1) * turn * _GOLDEN % 1.0) for rank, k in enumerate(order)}
            yield sorted(order, key=lambda k: ranks[k])


def _in_order(
    order: Sequence[int], sides: Sequence[Sides], rooms: Sequence[Sides], turning: bool, kind: int
) -> tuple[Bin, ...] | None:
    """Each rectangle on the first sheet with a place for it, else on a new one, which lies as ``kind`` if it can."""
    bins: list[tuple[int, FreePlaces]] = []
    for k in order:
        if any(places.put(k, sides[k]) for _, places in bins):
            continue
        for number in (kind, *(n for n in range(len(rooms)) if n != kind)):
            places = FreePlaces(rooms[number], turning=turning)
            if places.put(k, sides[k]):
                bins.append((number, places))
                break
        else:
            return None
    return tuple(Bin(number, tuple(places.packed)) for number, places in bins)


class _Partitions:
    """Every way to deal few rectangles out over sheets."""

    def __init__(self, sides: Sequence[Sides], rooms: Sequence[Sides], turning: bool) -> None:
        self._sides, self._rooms, self._turning = sides, rooms, turning
        self._order = sorted(range(len(sides)), key=lambda k: -sides[k][0] * sides[k][1])
        self._known: dict[frozenset[int], Bin | None] = {}
        self.certain = True

    def laid(self, count: int) -> tuple[Bin, ...] | None:
        """All of them on ``count`` sheets at most; None if there is no way."""
        found = self._dealt(0, (), count)
        return None if found is None else tuple(bin_ for part in found if (bin_ := self._on_one(part)))

    def _dealt(self, number: int, parts: tuple[frozenset[int], ...], count: int) -> tuple[frozenset[int], ...] | None:
        if number == len(self._order):
            return parts
        k = frozenset((self._order[number],))
        for n, part in enumerate(parts):
            if self._on_one(part | k) is not None:
                found = self._dealt(number + 1, (*parts[:n], part | k, *parts[n + 1 :]), count)
                if found is not None:
                    return found
        return self._dealt(number + 1, (*parts, k), count) if len(parts) < count and self._on_one(k) else None

    def _on_one(self, part: frozenset[int]) -> Bin | None:
        """Some of them on one sheet, in whatever way it lies."""
        if part not in self._known:
            names = sorted(part)
            self._known[part] = None
            for kind, room in enumerate(self._rooms):
                packed, certain = every_way([self._sides[k] for k in names], room, turning=self._turning)
                self.certain = self.certain and certain
                if packed is not None:
                    moved = (
                        PackedRectangle(names[rectangle.index], rectangle.x, rectangle.y, rectangle.turned)
                        for rectangle in packed
                    )
                    self._known[part] = Bin(kind, tuple(moved))
                    break
        return self._known[part]
