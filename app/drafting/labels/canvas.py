"""Memory for the rasters of a page, lent to one page after another: to get it anew takes longer than to draw on it."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import numpy as np
import numpy.typing as npt

Pixels = npt.NDArray[np.uint8]

_MOST: Final = 8_000_000
"""What is kept of one page for the next [bytes]: the rasters of an A3 sheet."""


class Canvas:
    """Rasters of one page, none of which is needed once the page is done."""

    def __init__(self) -> None:
        self._held: list[Pixels] = []
        self._used = 0

    def room(self, columns: int, rows: int) -> Pixels:
        """A raster with anything on it, shape (columns, rows)."""
        size = columns * rows
        if self._used == len(self._held):
            self._held.append(np.empty(size, np.uint8))
        if self._held[self._used].size < size:
            self._held[self._used] = np.empty(size, np.uint8)
        self._used += 1
        return self._held[self._used - 1][:size].reshape(columns, rows)

    def blank(self, columns: int, rows: int) -> Pixels:
        """An empty raster, shape (columns, rows)."""
        found = self.room(columns, rows)
        found.fill(0)
        return found

    @property
    def size(self) -> int:
        """What it takes [bytes]."""
        return sum(held.size for held in self._held)

    def clear(self) -> None:
        """From now on all of it may be used for something else."""
        self._used = 0


_SPARE: deque[Canvas] = deque(maxlen=2)


@contextmanager
def lent_canvas() -> Iterator[Canvas]:
    """A canvas for one page, which nobody else draws on meanwhile."""
    try:
        canvas = _SPARE.pop()
    except IndexError:
        canvas = Canvas()
    yield canvas
    canvas.clear()
    if canvas.size <= _MOST:
        _SPARE.append(canvas)
