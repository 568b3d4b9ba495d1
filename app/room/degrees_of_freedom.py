"""Which parts may move, and which move together: mirror pairs, the line between them, stations alike, whole stations.

Parts that move together are a unit. A unit has one shift; a part follows it as it is, or mirrored across.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats, Ints
from app.fit.features.layout import natural
from app.model.resolved import Placed, ResolvedBoard

_SAME = 0.01  # mm: places closer than this are one, as no drawing or rule tells them apart


class DegreesOfFreedom(Struct, frozen=True, eq=False):
    """What may move.

    Args:
        unit: of each placement that may move, by its id.
        mirrored: ids of those whose shift across is the other way round.
        upright: for each unit, whether it may only move along the centre line.
        weights: how many placements follow each unit, shape (m,).
    """

    unit: dict[str, int]
    mirrored: frozenset[str]
    upright: tuple[bool, ...]
    weights: Floats

    def __len__(self) -> int:
        return len(self.upright)

    def of(self, ids: tuple[str, ...]) -> tuple[Ints, Floats]:
        """The unit of each placement, −1 for one that stays, and the sign of its shift across."""
        units = np.array([self.unit.get(i, -1) for i in ids], np.intp)
        return units, np.array([-1.0 if i in self.mirrored else 1.0 for i in ids], np.float64)

    def without(self, units: set[int]) -> DegreesOfFreedom:
        """The same with some units held where they are."""
        kept = {i: u for i, u in self.unit.items() if u not in units}
        return DegreesOfFreedom(kept, self.mirrored, self.upright, self.weights)

    def shifts(self, moves: Floats) -> dict[str, tuple[float, float]]:
        """The shift of every placement that may move for the shifts of the units, shape (m, 2) [mm]."""
        return {
            i: ((-1 if i in self.mirrored else 1) * float(moves[u, 0]) + 0.0, float(moves[u, 1]) + 0.0)
            for i, u in self.unit.items()
        }


def degrees_of_freedom(board: ResolvedBoard, *, rigid: bool = False, loose: bool = False) -> DegreesOfFreedom:
    """The units of a board: locked and undrilled parts stay, and so does what is tied to one that is locked.

    Args:
        board: the board.
        rigid: whether every station keeps its shape and moves as a whole.
        loose: whether to give up what need not be kept: that the image of a locked part stays its image, and
            that stations of one shape stay of one shape. Pairs that can move together stay pairs.
    """
    drilled = sorted(board.drilled, key=lambda p: natural(p.id))
    x0, _, x1, _ = board.outline.bounds
    pairs = mirror_pairs(drilled, (x0 + x1) / 2)
    locked = {p.id for p in drilled if p.locked}
    ties = _Ties([p.id for p in drilled])
    for a, b in pairs:
        if not (loose and (a in locked) != (b in locked)):
            ties.tie(a, b, -1.0)
    if rigid:
        first: dict[str, str] = {}
        for placed in drilled:
            if placed.station:
                ties.tie(first.setdefault(placed.station, placed.id), placed.id, 1.0)
    elif not loose:
        for a, b in alike(drilled, pairs):
            ties.tie(a, b, 1.0)
    if pairs:
        for placed in drilled:
            if abs(2 * placed.x - x0 - x1) < 2 * _SAME:
                ties.hold_upright(placed.id)
    return ties.freedom(locked)


def mirror_pairs(drilled: list[Placed], middle: float) -> list[tuple[str, str]]:
    """Placements of one part that are each other's image about the centre line."""
    found, taken = [], set[str]()
    for k, a in enumerate(drilled):
        if a.id in taken or abs(a.x - middle) < _SAME:
            continue
        for b in drilled[k + 1 :]:
            image = abs(a.x + b.x - 2 * middle) < 2 * _SAME and abs(a.y - b.y) < _SAME
            if image and b.id not in taken and a.part == b.part and _turned_alike(a, b):
                found.append((a.id, b.id))
                taken |= {a.id, b.id}
                break
    return found


def alike(drilled: list[Placed], pairs: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Placements that are each other's likeness in two stations of one shape, neither of them the other's image.

    Two stations are of one shape where at least two parts, and half of the smaller, are as far from each other
    as most are, part for part.
    """
    stations: dict[str, list[Placed]] = {}
    for placed in drilled:
        if placed.station:
            stations.setdefault(placed.station, []).append(placed)
    station_of = {p.id: p.station for p in drilled}
    images = {frozenset((station_of[a], station_of[b])) for a, b in pairs}
    found: list[tuple[str, str]] = []
    for (one, here), (other, there) in combinations(stations.items(), 2):
        if frozenset((one, other)) not in images:
            found += _likenesses(here, there)
    return found


def _likenesses(here: list[Placed], there: list[Placed]) -> list[tuple[str, str]]:
    offsets: dict[tuple[int, int], list[tuple[str, str]]] = {}
    for a in here:
        for b in there:
            if a.part == b.part and (a.angle - b.angle) % 360.0 == 0:
                by = round((b.x - a.x) / _SAME), round((b.y - a.y) / _SAME)
                offsets.setdefault(by, []).append((a.id, b.id))
    most = max(offsets.values(), key=len, default=[])
    return most if len(most) >= max(2, min(len(here), len(there)) / 2) else []


def _turned_alike(a: Placed, b: Placed) -> bool:
    """Whether the turnings are images of each other, or those of one part repeated."""
    return (a.angle + b.angle) % 180.0 == 0 or (a.angle - b.angle) % 180.0 == 0


class _Ties:
    """Placements joined into units, each with the sign of its shift across: a union of sets."""

    def __init__(self, ids: list[str]) -> None:
        self._ids = ids
        self._head = {i: i for i in ids}
        self._sign = dict.fromkeys(ids, 1.0)
        self._upright: set[str] = set()

    def tie(self, a: str, b: str, sign: float) -> None:
        """Let ``b`` follow ``a``, with that sign across."""
        head, tail = self._head[a], self._head[b]
        turn = self._sign[a] * sign * self._sign[b]
        if head == tail:
            if turn < 0:
                self._upright.add(head)  # its own image: it cannot move across
            return
        for i in self._ids:
            if self._head[i] == tail:
                self._head[i], self._sign[i] = head, self._sign[i] * turn
        if tail in self._upright:
            self._upright.add(head)

    def hold_upright(self, i: str) -> None:
        """Let ``i``, and what is tied to it, move only along the centre line."""
        self._upright.add(self._head[i])

    def freedom(self, locked: set[str]) -> DegreesOfFreedom:
        """The units, without those that hold a locked placement."""
        held = {self._head[i] for i in locked}
        heads = list(dict.fromkeys(self._head[i] for i in self._ids if self._head[i] not in held))
        unit = {i: heads.index(self._head[i]) for i in self._ids if self._head[i] not in held}
        weights = np.bincount(list(unit.values()), minlength=len(heads)).astype(np.float64)
        mirrored = frozenset(i for i in unit if self._sign[i] < 0)
        return DegreesOfFreedom(unit, mirrored, tuple(h in self._upright for h in heads), weights)
