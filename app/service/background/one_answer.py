"""What one answer has read of the store, so that it does not ask again: each question to a server is a wait.

A form of htmx is answered with the page it leads to: what was read for the form holds for the page as well, and what
the form wrote need not be read at all. An answer that begins later reads anew, so it sees what others wrote.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, Generic, TypeVar

Value = TypeVar("Value")

_read: Final[ContextVar[dict[Hashable, object] | None]] = ContextVar("read", default=None)


@contextmanager
def one_answer() -> Iterator[None]:
    """All that is read in here is for one answer, in whatever thread; outside, nothing is remembered."""
    before = _read.set({})
    try:
        yield
    finally:
        _read.reset(before)


class ReadOnce(Generic[Value]):
    """A kind of thing that is read, remembered by key for as long as an answer takes."""

    def once(self, key: Hashable, read: Callable[[], Value]) -> Value:
        """The value under ``key``, read if this answer has not yet done so."""
        found = self.known(key)
        return self.now(key, read()) if found is None else found

    def known(self, key: Hashable) -> Value | None:
        """The value under ``key``; None if this answer has not read it."""
        return (_read.get() or {}).get((self, key))  # type: ignore[return-value]  # only `now` puts it there

    def now(self, key: Hashable, value: Value) -> Value:
        """Remember a value, read or just written, and give it."""
        read = _read.get()
        if read is not None:
            read[self, key] = value
        return value
