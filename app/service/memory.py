"""What was worked out lately, kept at hand until it takes more room than it may."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Memory(Generic[Value]):
    """Values by key, the least lately used forgotten first.

    Bounded by bytes and not by number: a board of thousands of parts takes as much room as a hundred small ones.

    Args:
        limit: room for all of them together [bytes]. A single value that needs more is not remembered.
    """

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._held = 0
        self._values: OrderedDict[Hashable, tuple[Value, int]] = OrderedDict()
        self._lock = threading.Lock()

    @property
    def held(self) -> int:
        """Room taken now [bytes]."""
        return self._held

    def once(self, key: Hashable, make: Callable[[], Value], size: Callable[[Value], int]) -> Value:
        """The value under ``key``, made if it is not remembered.

        Args:
            key: what it is made from, all of it.
            make: makes it; two who ask at the same moment may both do so.
            size: room it takes, or an estimate on the high side [bytes].
        """
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key][0]
        made = make()
        self._hold(key, made, size(made))
        return made

    def _hold(self, key: Hashable, made: Value, size: int) -> None:
        if size > self._limit:
            return
        with self._lock:
            if key in self._values:
                self._held -= self._values.pop(key)[1]
            self._values[key] = (made, size)
            self._held += size
            while self._held > self._limit:
                self._held -= self._values.popitem(last=False)[1][1]
