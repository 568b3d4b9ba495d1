"""What was worked out of documents, kept up to so many bytes: many small ones, or few large ones."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Kept(Generic[Value]):
    """Values by key, those asked for last; the last of all is kept whatever it weighs.

    Args:
        most: what all may weigh together [bytes].
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[Hashable, tuple[Value, int]] = OrderedDict()
        self._weight = 0
        self._turn = Lock()

    @property
    def weight(self) -> int:
        """What is kept weighs so much [bytes]."""
        return self._weight

    def __len__(self) -> int:
        return len(self._held)

    def get(self, key: Hashable, weight: int, make: Callable[[], Value]) -> Value:
        """The value of a key, made if it is not kept; what making raises is raised, and nothing is kept.

        Args:
            key: what it is known by.
            weight: what it weighs, about [bytes].
            make: makes it; two who ask at once may both make it.
        """
        with self._turn:
            if key in self._held:
                self._held.move_to_end(key)
                return self._held[key][0]
        value = make()
        with self._turn:
            if key in self._held:
                return self._held[key][0]
            self._held[key] = value, weight
            self._weight += weight
            while self._weight > self._most and len(self._held) > 1:
                _, (_, lighter) = self._held.popitem(last=False)
                self._weight -= lighter
        return value
