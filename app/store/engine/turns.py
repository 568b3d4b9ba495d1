"""Writers of one program take turns before they ask the database, so that none is told another program is in the way.

A database that is asked by all at once gives up on some after a while, and lets nobody pass in order; and each that
waits there holds a connection meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from weakref import WeakValueDictionary

from app.errors import StoreError

#: How long a writer waits for others of the same program [s]: a change of the largest design takes one at most.
TURN_WAIT_S = 60.0


class WriterTurns:
    """Locks by what is written, for the threads of one program; those that nobody uses are forgotten."""

    def __init__(self) -> None:
        self._locks: WeakValueDictionary[str, Lock] = WeakValueDictionary()
        self._finding = Lock()

    @contextmanager
    def of(self, what: str, patience: float | None = None) -> Iterator[None]:
        """Wait until no other thread writes to ``what``.

        Args:
            what: what is written to.
            patience: how long to wait at most [s]; None is a minute.

        Raises:
            StoreError: it has not come to its turn by then.
        """
        most = TURN_WAIT_S if patience is None else patience
        with self._finding:
            lock = self._locks.setdefault(what, Lock())
        if not lock.acquire(timeout=most):
            raise StoreError(
                f"Others have been making changes here for {most:g} s without a pause, so this one is "
                "still waiting. Try again in a moment. Nothing was changed."
            )
        try:
            yield
        finally:
            lock.release()
