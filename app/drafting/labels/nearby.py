"""What lies near a place, found without looking at everything: rows kept by the squares of a grid they touch."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor
from typing import Final, Generic, TypeVar

Box = tuple[float, float, float, float]
"""A rectangle (x0, y0, x1, y1) [mm]."""

_PACE: Final = 16.0
"""Side of a square of the grid [mm]: about the distance of holes on a dense board."""

_FEW: Final = 64
"""Rows that are all looked at in less time than squares take to be filled and asked."""

Row = TypeVar("Row")


class Nearby(Generic[Row]):
    """Rows of any kind, each with the rectangle it lies in; asking for a rectangle costs what lies about it."""

    def __init__(self, rows: Iterable[tuple[Box, Row]] = ()) -> None:
        self._rows: list[tuple[int, int, int, int, Row]] = []
        self._kept: dict[tuple[int, int], list[int]] = {}
        self._filled = 0
        for box, row in rows:
            self.add(box, row)

    def add(self, box: Box, row: Row) -> None:
        """Keep a row that lies in ``box`` [mm]."""
        x0, y0, x1, y1 = box
        self._rows.append((floor(x0 / _PACE), floor(y0 / _PACE), floor(x1 / _PACE), floor(y1 / _PACE), row))

    def near(self, box: Box) -> list[Row]:
        """The rows that may touch ``box``, in the order they were added; others a little farther off among them.

        Those are told that have a square of the grid in common with it, however they are found.
        """
        x0, y0, x1, y1 = box
        a0, b0, a1, b1 = floor(x0 / _PACE), floor(y0 / _PACE), floor(x1 / _PACE), floor(y1 / _PACE)
        rows = self._rows
        if len(rows) <= _FEW:
            return [row for i0, j0, i1, j1, row in rows if i0 <= a1 and a0 <= i1 and j0 <= b1 and b0 <= j1]
        squares, found = self._squares(), set[int]()
        for i in range(a0, a1 + 1):
            for j in range(b0, b1 + 1):
                here = squares.get((i, j))
                if here:
                    found.update(here)
        return [rows[number][4] for number in sorted(found)]

    def _squares(self) -> dict[tuple[int, int], list[int]]:
        """The rows by the squares they touch, with those that were added since."""
        squares = self._kept
        for number in range(self._filled, len(self._rows)):
            i0, j0, i1, j1, _ = self._rows[number]
            for i in range(i0, i1 + 1):
                for j in range(j0, j1 + 1):
                    squares.setdefault((i, j), []).append(number)
        self._filled = len(self._rows)
        return squares
