"""Which chain begins or ends near a place, found by cells of a grid."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final

from app.geometry.shapes import Point
from app.readers.pieces import Piece

_EQUAL: Final = 0.01
"""Ends are equally near if their distances differ by no more than this share of how near they may be."""


class Ends:
    """The ends of chains that are not yet joined.

    Args:
        chains: pieces end to end.
        near: how near ends are one.
    """

    def __init__(self, chains: Sequence[list[Piece]], near: float) -> None:
        self._left = dict(enumerate(chains))
        self._near = near
        self._cell = max(near, 1e-9)
        self._cells: defaultdict[tuple[int, int], list[int]] = defaultdict(list)
        for index, chain in self._left.items():
            for cell in {self._of(chain[0].a), self._of(chain[-1].b)}:
                self._cells[cell].append(index)
        self.forks: list[Point] = []

    def any(self) -> list[Piece] | None:
        """A chain that is left, taken out; None if there is none."""
        return list(self._left.popitem()[1]) if self._left else None

    def after(self, end: Point, nearer: float | None = None) -> list[Piece] | None:
        """The chain that goes on nearest to a place, taken out and turned that way; None if there is none.

        Args:
            end: the place.
            nearer: what goes on has to be nearer than this; None if it need not.
        """
        found = sorted(item for item in self._near_to(end) if nearer is None or item[0] < nearer)
        if not found:
            return None
        equal = found[0][0] + _EQUAL * self._near
        if len({index for far, index, _ in found if far <= equal}) > 1:
            self.forks.append(end)
        _, index, turned = found[0]
        chain = self._left.pop(index)
        return [piece.turned() for piece in reversed(chain)] if turned else list(chain)

    def without_loose(self) -> list[list[Piece]]:
        """Take out the chains one end of which nothing meets, until there are none, and return them."""
        taken: list[list[Piece]] = []
        while loose := [index for index, chain in self._left.items() if self._is_loose(index, chain)]:
            taken += [self._left.pop(index) for index in loose]
        return taken

    def _is_loose(self, index: int, chain: list[Piece]) -> bool:
        a, b = chain[0].a, chain[-1].b
        if math.dist(a, b) <= self._near:
            return False
        return any(all(other == index for _, other, _ in self._near_to(end)) for end in (a, b))

    def _near_to(self, end: Point) -> Iterator[tuple[float, int, bool]]:
        i, j = self._of(end)
        around = {k for a in (i - 1, i, i + 1) for b in (j - 1, j, j + 1) for k in self._cells.get((a, b), ())}
        for index in around & self._left.keys():
            chain = self._left[index]
            for at, turned in ((chain[0].a, False), (chain[-1].b, True)):
                if (far := math.dist(end, at)) <= self._near:
                    yield far, index, turned

    def _of(self, at: Point) -> tuple[int, int]:
        return math.floor(at[0] / self._cell), math.floor(at[1] / self._cell)
