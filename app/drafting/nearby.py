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
        number = len(self._rows)
        self._rows.append(row)
        for square in _squares(box):
            self._squares.setdefault(square, []).append(number)

    def near(self, box: Box) -> list[Row]:
        """The rows that may touch ``box``, in the order they were added; others a little farther off among them."""
        found: set[int] = set()
        for square in _squares(box):
            found.update(self._squares.get(square, ()))
        return [self._rows[number] for number in sorted(found)]


def _squares(box: Box) -> Iterable[tuple[int, int]]:
    columns = range(floor(box[0] / _PACE), floor(box[2] / _PACE) + 1)
    rows = range(floor(box[1] / _PACE), floor(box[3] / _PACE) + 1)
    return ((i, j) for i in columns for j in rows)
