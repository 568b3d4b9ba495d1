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
        limit: room for all of them together [bytes]. The last one is remembered alone if it needs more: a board that
            large is asked for again with the next step, and takes the longest to work out.
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
        found = self.get(key)
        if found is None:
            found = make()
            self.put(key, found, size(found))
        return found

    def get(self, key: Hashable) -> Value | None:
        """The value under ``key``; None if it is not remembered."""
        with self._lock:
            if key not in self._values:
                return None
            self._values.move_to_end(key)
            return self._values[key][0]

    def put(self, key: Hashable, value: Value, size: int) -> None:
        """Remember a value that takes ``size`` bytes."""
        with self._lock:
            if key in self._values:
                self._held -= self._values.pop(key)[1]
            self._values[key] = (value, size)
            self._held += size
            while self._held > self._limit and len(self._values) > 1:
                self._held -= self._values.popitem(last=False)[1][1]
