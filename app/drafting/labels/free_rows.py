"""Where words may stand along a line of a page: what is in their way is found once, for words of any length."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from propcache.api import cached_property

from app.drafting.labels.ink_mask import Flags, Floats

Stretch = tuple[float, float]
"""Where something begins and ends along a row [mm]."""


class FreeRow:
    """A row across a page, as high as the words that shall stand in it.

    Args:
        inked: which pixels along the row have ink anywhere across it, shape (n,).
        origin: where the first pixel begins along the row [mm].
        side: of a pixel [mm].
        ends: what words stay between [mm].
        taken: gives the stretches that are taken otherwise; asked only where there may be room.
    """

    def __init__(
        self, inked: Flags, origin: float, side: float, ends: Stretch, taken: Callable[[], Sequence[Stretch]]
    ) -> None:
        self._inked = inked.nonzero()[0]
        self._origin, self._side, self._ends, self._asked = origin, side, ends, taken
        edges = np.concatenate(([-1], self._inked, [len(inked)]))
        self._longest = side * float((edges[1:] - edges[:-1]).max())

    @cached_property
    def _taken(self) -> Sequence[Stretch]:
        return self._asked()

    def first(self, starts: Floats, length: float) -> int | None:
        """The first of boxes in the row that covers nothing, or None if each does.

        Args:
            starts: where each begins along the row, in order, shape (n,) [mm].
            length: how long each is [mm].
        """
        if not len(starts) or length > self._longest:
            return None
        stops = starts + length
        good = (starts >= self._ends[0] - 1e-9) & (stops <= self._ends[1] + 1e-9)
        low, high = np.floor((starts - self._origin) / self._side), np.floor((stops - self._origin) / self._side)
        good &= self._inked.searchsorted(low) == self._inked.searchsorted(high, "right")
        number, left = 0, good.nonzero()[0]
        while number < len(left):  # mostly none, or one of the first will do
            start, stop = float(starts[left[number]]), float(stops[left[number]])
            over = max([end for begin, end in self._taken if stop > begin and start < end], default=None)
            if over is None:
                return int(left[number])
            number = max(number + 1, int(starts[left].searchsorted(over)))  # all before that reach into it too
        return None
