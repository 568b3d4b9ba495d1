"""A worker process: takes a job, does it, hands back what came of it, until nobody asks any more."""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait
from typing import Any, Final

from app.errors import BudgetError, HolewiseError
from app.service.background.garbage import collect_seldom

IDLE: Final = 300.0
"""A worker that nobody asked for so long ends by itself [s]."""

READY, TAKEN, BEAT, SO_FAR, NEWS, DONE = b"r", b"t", b"b", b"s", b"n", b"d"
"""How what a worker says begins: it has begun; it has taken a job; it is still at it; the best so far; how far it is;
the answer."""

PULSE: Final = 1.0
"""How often a worker that has a job says that it is still at it [s]."""

Job = Callable[..., Any]


def work(pipe: Connection, memory: int, nice: int = 0) -> None:
    """Do the jobs that come through ``pipe``, one after the other.

    Each comes as a pickled ``(job, arguments)``. What is said begins with one of :data:`READY` and the others; an
    answer goes on as a pickled ``(done, value)``, or ``(not done, error)``, the best so far, and news, as a pickled
    value.

    Args:
        pipe: to the process that asks.
        memory: how much more than now may be taken [bytes], where the system can limit that.
        nice: how far it stands back behind other processes, where the system knows that: 0 not at all, 19 furthest.
    """
    global _mouth  # noqa: PLW0603 - a process has one, or none
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C reaches every process of a window; the asking one ends us
    threading.Thread(target=_end_with_parent, daemon=True).start()
    if nice and hasattr(os, "nice"):  # not on Windows
        os.nice(nice)
    limit_memory(memory)
    _mouth = _Mouth(pipe)
    collect_seldom()
    try:
        _mouth.say(READY)
        while pipe.poll(IDLE):
            asked = pipe.recv_bytes()
            _mouth.say(TAKEN)
            with _mouth.beating():
                answer = _answer(asked)
            _mouth.say(DONE, answer)
    except (EOFError, OSError):  # nobody is there any more
        return


class _Mouth:
    """What a worker says goes through here, one thing after the other, from whatever thread.

    Args:
        pipe: to the process that asks.
    """

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._lock = threading.Lock()

    def say(self, kind: bytes, more: bytes = b"") -> None:
        with self._lock:
            self._pipe.send_bytes(kind + more)

    @contextmanager
    def beating(self) -> Iterator[None]:
        """Say every second that the process is alive, while something is done."""
        done = threading.Event()

        def beat() -> None:
            with suppress(OSError):  # nobody is there any more, which the job's end will find out
                while not done.wait(PULSE):
                    self.say(BEAT)

        beating = threading.Thread(target=beat, daemon=True)
        beating.start()
        try:
            yield
        finally:
            done.set()
            beating.join()  # so that a beat never follows an answer


_mouth: _Mouth | None = None


def handed_over(best: object) -> None:
    """Hand over the best so far of what is being worked out, for whoever asked to have if the work is ended.

    Nothing is done outside a worker: there nothing is ended but by its own end.
    """
    if _mouth is not None:
        _mouth.say(SO_FAR, pickle.dumps(best))


def tell(news: object) -> None:
    """Tell whoever asked how far the work is; nobody hears of it outside a worker."""
    if _mouth is not None:
        _mouth.say(NEWS, pickle.dumps(news))


def _answer(asked: bytes) -> bytes:
    try:
        job, arguments = pickle.loads(asked)  # noqa: S301 - from our own process, through a pipe nobody else has
        return pickle.dumps((True, job(*arguments)))
    except HolewiseError as error:
        return pickle.dumps((False, error))
    except MemoryError:
        return pickle.dumps((False, BudgetError("memory")))
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told and written down where the app was started
        return pickle.dumps((False, RuntimeError("".join(traceback.format_exception(error)))))


def limit_memory(more: int) -> None:
    """Let this process take no more than ``more`` bytes beyond what it has; nothing where that cannot be set."""
    if sys.platform != "linux":
        return
    import resource
    from pathlib import Path

    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    limit = pages * resource.getpagesize() + more
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard == resource.RLIM_INFINITY or limit < hard:
        resource.setrlimit(resource.RLIMIT_AS, (limit, hard))


def worked(pid: int) -> float | None:
    """How long a process has worked, on one processor or several [s]; None where the system does not tell."""
    if sys.platform != "linux":
        return None
    from pathlib import Path

    try:
        # proc(5): user and system time are the 14th and 15th field; the second, a name in brackets, may hold spaces.
        fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii", errors="replace").rpartition(")")[2].split()
    except OSError:
        return None
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)
