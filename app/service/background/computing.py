"""One answer is computed at a time in a process; the others wait for it, each for a moment at most.

Threads of one process share one processor. Ten answers that are computed side by side all come when the last does, and
each passes the processor on a thousand times; one after the other, most come sooner and none comes later. Who has
waited for a moment computes beside the one before it, so that a long answer holds up nobody, and nothing can hang. Who
has begun goes before who has not.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from inspect import signature
from typing import Final, ParamSpec, TypeVar

_Given = ParamSpec("_Given")
_Found = TypeVar("_Found")

MOMENT_S: Final = 0.05
"""How long an answer waits for its turn [s]: three or four others are computed meanwhile."""

_begun: ContextVar[bool] = ContextVar("begun", default=False)


class _Turn:
    """Whose turn it is to compute."""

    def __init__(self) -> None:
        self._taken = False
        self._pressing = 0
        self._change = threading.Condition()

    def take(self, *, first: bool) -> bool:
        """Wait for a moment; whether it is this thread's turn now. ``first`` goes before those that are not."""
        with self._change:
            self._pressing += first
            mine = self._change.wait_for(lambda: self._is_free(first=first), MOMENT_S)
            self._pressing -= first
            self._taken = self._taken or mine
            return mine

    def give_back(self) -> None:
        """Let the next one compute."""
        with self._change:
            self._taken = False
            self._change.notify_all()

    def _is_free(self, *, first: bool) -> bool:
        return not self._taken and (first or not self._pressing)


class _Mine(threading.local):
    held = False


_TURN: Final = _Turn()
_mine = _Mine()


@contextmanager
def computing() -> Iterator[None]:
    """In turn with the answers of other threads; not to be used within itself but inside :func:`waiting`."""
    _mine.held = _TURN.take(first=_begun.get())
    try:
        yield
    finally:
        give_way()


@contextmanager
def waiting() -> Iterator[None]:
    """Let others compute while this thread waits: for a lock, a disk, another process. In turn again afterwards."""
    had = _mine.held
    give_way()
    try:
        yield
    finally:
        if had:
            _mine.held = _TURN.take(first=True)


def give_way() -> None:
    """Let others compute from here on: what is left of this answer is to wait for a disk or another process."""
    had, _mine.held = _mine.held, False
    if had:
        _TURN.give_back()


def begun() -> None:
    """Say that the answer of this task has been computed in part, so that the rest of it goes first."""
    _begun.set(True)


@contextmanager
def held(lock: threading.Lock) -> Iterator[None]:
    """Hold a lock, which is waited for out of turn."""
    with waiting():
        lock.acquire()
    try:
        yield
    finally:
        lock.release()


def one_at_a_time(job: Callable[_Given, _Found]) -> Callable[_Given, _Found]:
    """``job``, computed in turn; with its own name and signature."""

    @wraps(job)
    def taking_turns(*args: _Given.args, **kwargs: _Given.kwargs) -> _Found:
        with computing():
            return job(*args, **kwargs)

    taking_turns.__signature__ = signature(job, eval_str=True)  # type: ignore[attr-defined]
    return taking_turns
