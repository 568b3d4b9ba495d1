"""One worker process as those see it who ask: begun, asked, listened to, ended."""

from __future__ import annotations

import pickle
from multiprocessing import get_context
from time import monotonic
from typing import Any, Final

from app.service.background.worker_process import DONE, NEWS, READY, SO_FAR, TAKEN, work, worked

SLOWER: Final = 6.0
"""A job may take so many times as long by the clock as it may work, on a computer that does other things as well."""

_TAKES: Final = 5.0  # a worker that has nothing else to do takes a job within this [s]
_SILENT: Final = 30.0  # one that is at work says so every second; it hangs if it says nothing for this long [s]
_GAP: Final = 1.0  # of two looks further apart this much counts: the whole program was halted, not the worker [s]


class Worker:
    """One process and the pipe to it; started anew by a new process, not by a copy of this one with its threads.

    Attributes:
        best: what was handed over last by the job; None if nothing was.
        taken: whether the process has taken the job.
        news: what the job told of how far it is, and nobody has asked for yet, the newest last.
    """

    def __init__(self, memory: int, nice: int = 0) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=work, args=(theirs, memory, nice), name="holewise-worker", daemon=True)
        self._process.start()
        self._ready = False
        self._began, self._seconds = monotonic(), 0.0
        self._worked: float | None = None
        self._quiet, self._looked = 0.0, monotonic()
        self._answer = b""
        self.taken, self.best = False, None
        self.news: list[Any] = []
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
        self.taken, self.best, self.news = False, None, []
        self._quiet, self._looked = 0.0, monotonic()
        self._pipe.send_bytes(asked)
        self._began, self._worked, self._seconds = monotonic(), self._spent(), seconds

    def answered(self, within: float) -> bool:
        """Whether an answer came; listens for that time at most [s].

        Raises:
            EOFError: the process ended before there was an answer.
        """
        heard = self._pipe.poll(within)
        now = monotonic()
        self._quiet, self._looked = self._quiet + min(now - self._looked, _GAP), now
        if not heard:
            return False
        said, self._quiet = self._pipe.recv_bytes(), 0.0
        kind, more = said[:1], said[1:]
        if kind == TAKEN:
            self.taken = True
        elif kind == SO_FAR:
            self.best = pickle.loads(more)  # noqa: S301 - from our own process
        elif kind == NEWS:
            self.news.append(pickle.loads(more))  # noqa: S301 - likewise
        elif kind == DONE:
            self._answer = more
        return kind == DONE

    @property
    def hangs(self) -> bool:
        """Whether the process has said nothing for so long that it never will."""
        return self._quiet >= (_SILENT if self.taken else _TAKES)

    @property
    def overdue(self) -> bool:
        """Whether the job has taken longer than it may.

        Counted is what the process worked, so that nothing is stopped for what else the computer does; it may take
        ``SLOWER`` times as long by the clock. Where the system does not tell, the clock alone counts.
        """
        passed, spent = monotonic() - self._began, self._spent()
        if spent is None or self._worked is None:
            return passed >= self._seconds
        return spent - self._worked >= self._seconds or passed >= SLOWER * self._seconds

    def _spent(self) -> float | None:
        return worked(self.pid) if self.pid is not None else None

    def answer(self) -> tuple[bool, Any]:
        """What came of the job."""
        done, value = pickle.loads(self._answer)  # noqa: S301 - from our own process
        return bool(done), value

    def end(self) -> None:
        """End the process at once."""
        self._process.kill()
        self._process.join()
        self._pipe.close()
