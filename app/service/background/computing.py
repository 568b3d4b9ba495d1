"""One answer is computed at a time in a process; the others wait for it, each for a moment at most.

Threads of one process share one processor. Ten answers that are computed side by side all come when the last does, and
each passes the processor on a thousand times; one after the other, most come sooner and none comes later. Who has
waited for a moment computes beside the one before it, so that a long answer holds up nobody, and nothing can hang.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from inspect import signature
from typing import Final, ParamSpec, TypeVar

_Given = ParamSpec("_Given")
_Found = TypeVar("_Found")

MOMENT_S: Final = 0.05
"""How long an answer waits for its turn [s]: three or four others are computed meanwhile."""

_TURN: Final = threading.Lock()


class _Mine(threading.local):
    held = False


_mine = _Mine()


@contextmanager
def computing() -> Iterator[None]:
    """In turn with the answers of other threads; not to be used within itself but inside :func:`waiting`."""
    _take()
    try:
        yield
    finally:
        _give_back()


@contextmanager
def waiting() -> Iterator[None]:
    """Let others compute while this thread waits: for a lock, a disk, another process. In turn again afterwards."""
    had = _give_back()
    try:
        yield
    finally:
        if had:
            _take()


def give_way() -> None:
    """Let others compute from here on: what is left of this answer is to wait for a disk or another process."""
    _give_back()


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


def _take() -> None:
    _mine.held = _TURN.acquire(timeout=MOMENT_S)


def _give_back() -> bool:
    had, _mine.held = _mine.held, False
    if had:
        _TURN.release()
    return had
