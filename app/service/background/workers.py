"""Worker processes that long work is done in, ended when its time is up or nobody waits for it."""

from __future__ import annotations

import logging
import pickle
import threading
from collections.abc import Callable
from functools import cache
from time import monotonic
from typing import Any, Final

from app.errors import BudgetError
from app.service.background.worker import SLOWER, Worker
from app.service.background.worker_process import Job

_LOG = logging.getLogger("holewise.workers")

MOST: Final = 2
"""Workers at a time: the rest of the machine is for the pages, and for the builder's other programs."""

WAITING: Final = 8
"""Readers that may wait for a worker; each holds a thread of the server."""

MEMORY: Final = 1_500_000_000
"""What one worker may take beyond what it starts with [bytes]."""

_START: Final = 60.0  # a process begins within this, on any computer; it is not the job's time [s]
_LOOK: Final = 0.05  # how often is looked whether the reader is still there [s]


class JobWorkers:
    """Up to ``most`` workers, each started when it is first needed.

    Args:
        most: workers at a time.
        memory: what each may take [bytes], where the system can limit that.
        nice: how far each stands back behind other processes, where the system knows that (0 to 19).
    """

    def __init__(self, most: int = MOST, memory: int = MEMORY, nice: int = 0) -> None:
        self._most, self._memory, self._nice = most, memory, nice
        self._idle: list[Worker] = []
        self._busy: set[Worker] = set()
        self._waiting = 0
        self._pressing = 0
        self._change = threading.Condition()

    def run(
        self,
        job: Job,
        arguments: tuple[Any, ...],
        seconds: float,
        gone: Callable[[], bool],
        *,
        first: bool = False,
        hear: Callable[[Any], None] | None = None,
    ) -> Any:
        """What ``job`` of ``arguments`` is, worked out in another process.

        Args:
            job: a function of a module, pure: what it is given and gives back is all it has to do with the world.
            arguments: of it.
            seconds: how long it may work.
            gone: whether nobody waits for it any more.
            first: whether it goes before those that wait and do not say so.
            hear: told what the job tells of how far it is (:func:`worker_process.tell`).

        Returns:
            What the job gives back; if it was ended before, the best it had handed over by then.

        Raises:
            BudgetError: with ``time``, ``memory``, ``silent``, ``gone`` or ``busy``, for which of them it was ended,
                or not begun, with nothing handed over.
        """
        asked, until = pickle.dumps((job, arguments)), monotonic() + SLOWER * seconds
        worker = self._taken(until, gone, first)
        if not self._took(worker, asked, seconds, gone):
            self._left(worker, ended=True)
            _LOG.warning("A worker process stopped taking work; another one is starting.")
            worker = self._taken(until, gone, first)
            if not self._took(worker, asked, seconds, gone):
                self._left(worker, ended=True)
                raise BudgetError("busy")
        try:
            while not worker.answered(_LOOK):
                _pass_on(worker, hear)
                _go_on(gone, late=worker.overdue, hangs=worker.hangs)
            done, value = worker.answer()
        except (EOFError, OSError, BudgetError) as error:
            self._left(worker, ended=True)
            # What ends a process from outside, as a rule, is want of memory.
            why = error if isinstance(error, BudgetError) else BudgetError("memory")
            if str(why) == "silent":
                _LOG.warning("A worker process stopped answering and was ended.")
            if worker.best is not None and str(why) != "gone":
                return worker.best
            raise why from error
        except BaseException:
            self._left(worker, ended=True)
            raise
        self._left(worker, ended=not done and isinstance(value, BudgetError))
        if not done:
            if isinstance(value, BudgetError) and worker.best is not None:
                return worker.best
            raise value
        return value

    def _took(self, worker: Worker, asked: bytes, seconds: float, gone: Callable[[], bool]) -> bool:
        """Whether a worker took a job; one that hangs, or has just ended, does not.

        Raises:
            BudgetError: nobody waits any more, or the process did not even begin.
        """
        start = monotonic() + _START
        try:
            while not worker.begun(_LOOK):
                _go_on(gone, late=monotonic() >= start)
            worker.ask(asked, seconds)
            while not worker.taken:
                worker.answered(_LOOK)
                if worker.hangs:
                    return False
                _go_on(gone)
        except (EOFError, OSError):
            return False
        except BaseException:
            self._left(worker, ended=True)
            raise
        return True

    def begin(self) -> None:
        """Start one worker now, so that the first who asks need not wait for it."""
        with self._change:
            if not self._idle and not self._busy:
                self._idle.append(Worker(self._memory, self._nice))

    @property
    def pids(self) -> tuple[int, ...]:
        """Numbers of the processes there are."""
        with self._change:
            return tuple(worker.pid for worker in (*self._idle, *self._busy) if worker.pid is not None)

    def close(self) -> None:
        """End every worker that has nothing to do."""
        with self._change:
            idle, self._idle = self._idle, []
        for worker in idle:
            worker.end()

    def _taken(self, until: float, gone: Callable[[], bool], first: bool) -> Worker:
        """A worker for one job: one that is idle, a new one, or the next that becomes free."""
        with self._change:
            if self._waiting >= WAITING:
                raise BudgetError("busy")
            self._waiting += 1
            self._pressing += first
            try:
                while (self._pressing and not first) or (not self._idle and len(self._busy) >= self._most):
                    self._change.wait(_LOOK)
                    if gone():
                        raise BudgetError("gone")
                    if monotonic() >= until:
                        raise BudgetError("busy")
            finally:
                self._waiting -= 1
                self._pressing -= first
            while self._idle:
                worker = self._idle.pop()
                if worker.alive:
                    break
                worker.end()
            else:
                worker = Worker(self._memory, self._nice)
            self._busy.add(worker)
            return worker

    def _left(self, worker: Worker, *, ended: bool) -> None:
        if ended:
            worker.end()
        with self._change:
            self._busy.discard(worker)
            if not ended:
                self._idle.append(worker)
            self._change.notify_all()


def _pass_on(worker: Worker, hear: Callable[[Any], None] | None) -> None:
    news, worker.news = worker.news, []
    if hear is not None:
        for each in news:
            hear(each)


def _go_on(gone: Callable[[], bool], *, late: bool = False, hangs: bool = False) -> None:
    if gone():
        raise BudgetError("gone")
    if late:
        raise BudgetError("time")
    if hangs:
        raise BudgetError("silent")


@cache
def workers() -> JobWorkers:
    """The workers of this process; none is started before there is something to do."""
    return JobWorkers()
