"""Worker processes that long work is done in, ended when its time is up or nobody waits for it."""

from __future__ import annotations

import pickle
import threading
from collections.abc import Callable
from functools import cache
from multiprocessing import get_context
from time import monotonic
from typing import Any, Final

from app.errors import BudgetError
from app.service.working import READY, Job, work, worked

MOST: Final = 2
"""Workers at a time: the rest of the machine is for the pages, and for the builder's other programs."""

WAITING: Final = 8
"""Readers that may wait for a worker; each holds a thread of the server."""

MEMORY: Final = 1_500_000_000
"""What one worker may take beyond what it starts with [bytes]."""

_SLOWER: Final = 6.0
"""A job may take so many times as long by the clock as it may work, on a computer that does other things as well."""

_START: Final = 60.0  # a process begins within this, on any computer; it is not the job's time [s]
_LOOK: Final = 0.05  # how often is looked whether the reader is still there [s]


class Worker:
    """One process and the pipe to it; started anew by a new process, not by a copy of this one with its threads."""

    def __init__(self, memory: int) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=work, args=(theirs, memory), name="holewise-worker", daemon=True)
        self._process.start()
        self._ready = False
        self._began, self._seconds = monotonic(), 0.0
        self._worked: float | None = None
        theirs.close()

    @property
    def pid(self) -> int | None:
        """Number of the process."""
        return self._process.pid

    @property
    def alive(self) -> bool:
        """Whether the process runs."""
        return self._process.is_alive()

    def begun(self, within: float) -> bool:
        """Whether the process is ready for a job, or becomes so within that time [s].

        Raises:
            EOFError: it has ended.
        """
        if not self._ready and self._pipe.poll(within):
            self._ready = self._pipe.recv_bytes() == READY
        return self._ready

    def ask(self, asked: bytes, seconds: float) -> None:
        """Send a job that may take so long [s]."""
        self._pipe.send_bytes(asked)
        self._began, self._worked, self._seconds = monotonic(), self._spent(), seconds

    def answered(self, within: float) -> bool:
        """Whether an answer, or the end of the process, came within that time [s]."""
        return self._pipe.poll(within)

    @property
    def overdue(self) -> bool:
        """Whether the job has taken longer than it may.

        Counted is what the process worked, so that nothing is stopped for what else the computer does; it may take
        ``_SLOWER`` times as long by the clock. Where the system does not tell, the clock alone counts.
        """
        passed, spent = monotonic() - self._began, self._spent()
        if spent is None or self._worked is None:
            return passed >= self._seconds
        return spent - self._worked >= self._seconds or passed >= _SLOWER * self._seconds

    def _spent(self) -> float | None:
        return worked(self.pid) if self.pid is not None else None

    def answer(self) -> tuple[bool, Any]:
        """What came of the job.

        Raises:
            EOFError: the process ended before there was an answer.
        """
        done, value = pickle.loads(self._pipe.recv_bytes())  # noqa: S301 - from our own process
        return bool(done), value

    def end(self) -> None:
        """End the process at once."""
        self._process.kill()
        self._process.join()
        self._pipe.close()


class Workers:
    """Up to ``most`` workers, each started when it is first needed.

    Args:
        most: workers at a time.
        memory: what each may take [bytes], where the system can limit that.
    """

    def __init__(self, most: int = MOST, memory: int = MEMORY) -> None:
        self._most, self._memory = most, memory
        self._idle: list[Worker] = []
        self._busy: set[Worker] = set()
        self._waiting = 0
        self._change = threading.Condition()

    def run(self, job: Job, arguments: tuple[Any, ...], seconds: float, gone: Callable[[], bool]) -> Any:
        """What ``job`` of ``arguments`` is, worked out in another process.

        Args:
            job: a function of a module, pure: what it is given and gives back is all it has to do with the world.
            arguments: of it.
            seconds: how long it may work.
            gone: whether nobody waits for it any more.

        Raises:
            BudgetError: with ``time``, ``memory``, ``gone`` or ``busy``, for which of them it was ended, or not begun.
        """
        asked, until = pickle.dumps((job, arguments)), monotonic() + _SLOWER * seconds
        worker = self._taken(until, gone)
        try:
            start = monotonic() + _START
            while not worker.begun(_LOOK):
                _go_on(gone, late=monotonic() >= start)
            worker.ask(asked, seconds)
            while not worker.answered(_LOOK):
                _go_on(gone, late=worker.overdue)
            done, value = worker.answer()
        except (EOFError, OSError) as error:
            self._left(worker, ended=True)
            raise BudgetError("memory") from error  # what ends a process from outside, as a rule, is want of memory
        except BaseException:
            self._left(worker, ended=True)
            raise
        self._left(worker, ended=not done and isinstance(value, BudgetError))
        if not done:
            raise value
        return value

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

    def _taken(self, until: float, gone: Callable[[], bool]) -> Worker:
        """A worker for one job: one that is idle, a new one, or the next that becomes free."""
        with self._change:
            if self._waiting >= WAITING:
                raise BudgetError("busy")
            self._waiting += 1
            try:
                while not self._idle and len(self._busy) >= self._most:
                    self._change.wait(_LOOK)
                    if gone():
                        raise BudgetError("gone")
                    if monotonic() >= until:
                        raise BudgetError("busy")
            finally:
                self._waiting -= 1
            while self._idle:
                worker = self._idle.pop()
                if worker.alive:
                    break
                worker.end()
            else:
                worker = Worker(self._memory)
            self._busy.add(worker)
            return worker

    def _left(self, worker: Worker, *, ended: bool) -> None:
        if ended:
            worker.end()
        with self._change:
            self._busy.discard(worker)
            if not ended:
                self._idle.append(worker)
            self._change.notify()


def _go_on(gone: Callable[[], bool], *, late: bool) -> None:
    if gone():
        raise BudgetError("gone")
    if late:
        raise BudgetError("time")


@cache
def workers() -> Workers:
    """The workers of this process; none is started before there is something to do."""
    return Workers()
