"""What lies near a place, found without looking at everything: rows kept by the squares of a grid they touch."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor
from typing import Final, Generic, TypeVar

Box = tuple[float, float, float, float]
"""A rectangle (x0, y0, x1, y1) [mm]."""

_PACE: Final = 16.0
"""Side of a square of the grid [mm]: about the distance of holes on a dense board."""


Row = TypeVar("Row")


class Nearby(Generic[Row]):
    """Rows of any kind, each with the rectangle it lies in; asking for a rectangle costs what lies about it."""

    def __init__(self, rows: Iterable[tuple[Box, Row]] = ()) -> None:
        self._squares: dict[tuple[int, int], list[int]] = {}
        self._rows: list[Row] = []
        for box, row in rows:
            self.add(box, row)

    def add(self, box: Box, row: Row) -> None:
        """Keep a row that lies in ``box`` [mm]."""
        number, squares = len(self._rows), self._squares
        self._rows.append(row)
        i0, j0, i1, j1 = _squares(box)
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                squares.setdefault((i, j), []).append(number)

    def near(self, box: Box) -> list[Row]:
        """The rows that may touch ``box``, in the order they were added; others a little farther off among them."""
        rows, squares = self._rows, self._squares
        i0, j0, i1, j1 = _squares(box)
        if i0 == i1 and j0 == j1:
            return [rows[number] for number in squares.get((i0, j0), ())]
        found: set[int] = set()
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                here = squares.get((i, j))
                if here:
                    found.update(here)
        return [rows[number] for number in sorted(found)]


def _squares(box: Box) -> tuple[int, int, int, int]:
    """First column and row of the grid that a rectangle touches, and the last."""
    x0, y0, x1, y1 = box
    return floor(x0 / _PACE), floor(y0 / _PACE), floor(x1 / _PACE), floor(y1 / _PACE)
