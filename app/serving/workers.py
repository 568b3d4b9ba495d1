"""Several processes that answer on one socket: begun, begun again when one dies or hangs, and ended together.

Each is a new interpreter, so that it works alike on every operating system. A pipe joins it to the first process:
by it a worker says that it answers, says so again every second from the loop that answers, and learns from its end
that it is to stop, be it because the first process says so or because that one is no more.
"""

from __future__ import annotations

import gc
import multiprocessing
import signal
import socket
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from types import FrameType
from typing import Final

from msgspec import Struct

from app.errors import HolewiseError
from app.serving.process_settings import GRACE_S, Answering

_LOOK_S: Final = 0.2  # from the death of a worker, or a signal, to what is done about it, at most
_FIRST_PAUSE_S: Final = 0.5
_LONGEST_PAUSE_S: Final = 10.0
_START_S: Final = 120.0
_GAP_S: Final = 1.0  # of two looks further apart this much counts: all was halted, not the worker
SILENT_S: Final = 30.0
"""A worker that says nothing for so long, by what the first process was awake, hangs: it is ended and begun again."""

_spawn = multiprocessing.get_context("spawn")


class AnswerProcesses:
    """Processes that answer on one socket.

    Args:
        asked: what each needs; how many is in it.
        listener: the listening socket; closed at the end.
    """

    def __init__(self, asked: Answering, listener: socket.socket) -> None:
        self._asked = asked
        self._listener = listener
        self._stopping = False  # no event: a signal may come while its lock is held
        self._workers: list[_Worker] = []

    def run(self, ready: Callable[[], None]) -> None:
        """Answer until SIGTERM or Ctrl+C; a second one cuts off what is still being answered.

        Args:
            ready: called once every process answers.

        Raises:
            HolewiseError: a process could not begin.
        """
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._asked_to_stop)
        try:
            self._workers = [self._begin() for _ in range(self._asked.workers)]
            self._wait_until_ready()
            if not self._stopping:
                ready()
            while not self._stopping:
                self._look()
        finally:
            self._end()

    def _begin(self) -> _Worker:
        # What is ignored while a process begins is ignored by it until it has its own answer to Ctrl+C.
        before = signal.signal(signal.SIGINT, signal.SIG_IGN)
        try:
            return _Worker.begin(self._asked, self._listener)
        finally:
            signal.signal(signal.SIGINT, before)

    def _wait_until_ready(self) -> None:
        limit = time.monotonic() + _START_S
        while not self._stopping and not all(w.is_ready() for w in self._workers):
            # One that answered before it died is begun again like any other, once they are all there.
            if time.monotonic() > limit or any(not w.is_ready() and not w.process.is_alive() for w in self._workers):
                raise HolewiseError("A worker could not start. What it said is above. Try again without --workers.")
            time.sleep(_LOOK_S / 4)

    def _look(self) -> None:
        """Wait a moment, end those that hang, and begin those again that have died."""
        began = time.monotonic()
        time.sleep(_LOOK_S)
        passed = min(time.monotonic() - began, _GAP_S)
        for n, worker in enumerate(self._workers):
            worker.listen(passed)
            if not self._stopping and worker.hangs and worker.process.is_alive():
                worker.process.kill()
                worker.process.join(_LOOK_S)
                print(f"A worker said nothing for {worker.patience:g} s and was stopped.", file=sys.stderr, flush=True)
            if not self._stopping and not worker.process.is_alive() and time.monotonic() > worker.again_at:
                try:
                    self._workers[n] = self._again(worker)
                except OSError:  # no room for another process: the others go on, and it is tried again
                    worker.again_at = time.monotonic() + _LONGEST_PAUSE_S

    def _again(self, dead: _Worker) -> _Worker:
        pause = _FIRST_PAUSE_S if dead.ready else min(2 * dead.pause, _LONGEST_PAUSE_S)
        code = dead.process.exitcode
        print(f"A worker stopped by itself (code {code}); another one is starting.", file=sys.stderr, flush=True)
        dead.pipe.close()
        new = self._begin()
        new.pause, new.again_at = pause, time.monotonic() + pause
        return new

    def _end(self) -> None:
        self._listener.close()
        for worker in self._workers:
            worker.pipe.close()
        limit = time.monotonic() + GRACE_S + 3
        for worker in self._workers:
            worker.process.join(max(0.0, limit - time.monotonic()))
            if worker.process.is_alive():
                worker.process.kill()
                worker.process.join()

    def _asked_to_stop(self, _number: int, _frame: FrameType | None) -> None:
        if self._stopping:
            for worker in self._workers:
                worker.process.kill()
        self._stopping = True


class _Worker(Struct):
    """A process, the pipe to it, for how long it has been quiet, and before when it is not begun again if it dies."""

    process: multiprocessing.process.BaseProcess
    pipe: Connection
    ready: bool = False
    pause: float = _FIRST_PAUSE_S
    again_at: float = 0.0
    quiet: float = 0.0

    @classmethod
    def begin(cls, asked: Answering, listener: socket.socket) -> _Worker:
        """Begin a process."""
        ours, its = _spawn.Pipe()
        process = _spawn.Process(target=work, args=(asked, listener, its))
        process.start()
        its.close()
        return cls(process, ours)

    def is_ready(self) -> bool:
        """Whether it has said that it answers."""
        self.listen(0.0)
        return self.ready

    def listen(self, passed: float) -> None:
        """Hear what it has said since it was last listened to, so many seconds ago."""
        self.quiet += passed
        with suppress(EOFError, OSError):  # then it is no more, which its process says
            while self.pipe.poll():
                self.ready = bool(self.pipe.recv())
                self.quiet = 0.0

    @property
    def patience(self) -> float:
        """How long it may say nothing [s]: until it answers, as long as it may take to begin."""
        return SILENT_S if self.ready else _START_S

    @property
    def hangs(self) -> bool:
        """Whether it has said nothing for so long that it never will."""
        return self.quiet >= self.patience


def work(asked: Answering, listener: socket.socket, pipe: Connection) -> None:
    """What a worker does.

    Args:
        asked: what it needs to answer.
        listener: the shared listening socket.
        pipe: to the first process.
    """
    gc.disable()  # as in the first process: what is imported stays
    from app.serving.answering import Answerer

    try:
        answerer = Answerer(asked)
    except HolewiseError as error:
        sys.exit(f"holewise: {error}")

    def stop_at_its_end() -> None:
        try:
            pipe.recv()
        except (EOFError, OSError):
            answerer.stop()

    def answers() -> None:
        with suppress(OSError):  # nobody is told, if the first process is no more
            pipe.send(True)

    threading.Thread(target=stop_at_its_end, daemon=True).start()
    answerer.run(listener, answers, answers)
