"""The work of a pack shared by two processes: each takes the next part of it until none is left."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from typing import Final

from app.document.schema import Design
from app.errors import BudgetError
from app.service.background.worker_process import tell
from app.service.background.workers import JobWorkers
from app.service.pack.boards import PackBoards
from app.service.pack.files import PackedFile, Part, files_of, parts_of
from app.service.pack.request import PackRequest, Since

Steps = Callable[[int], None]
"""Told how many more pages and files are made; raises where the work has to end."""

_LONGEST: Final = 3600.0  # that the other process may work at a part [s]
_LOOK: Final = 0.1  # how often one that has nothing left to do looks how far the other is [s]


def every_file(boards: PackBoards, step: Steps, *, processes: int = 1) -> list[PackedFile]:
    """Every file of a pack, in any order.

    Args:
        boards: of the pack.
        step: told of what is made, in this thread.
        processes: how many may work at it, 1 or 2; a second one takes a second to begin.

    Raises:
        HolewiseError: a file cannot be made.
    """
    parts = deque(parts_of(boards))
    helper = Helper(boards, parts) if processes > 1 and len(parts) > 1 else None
    found: list[PackedFile] = []

    def one() -> None:
        step(1 + (helper.news() if helper else 0))

    try:
        while (part := _next(parts.popleft)) is not None:
            found += files_of(boards, part, one)
        while helper is not None and helper.busy and not helper.ended(_LOOK):
            step(helper.news())
    finally:
        if helper is not None:
            helper.stop()
    return found + (helper.files() if helper else [])


def _next(take: Callable[[], Part]) -> Part | None:
    try:
        return take()
    except IndexError:
        return None


class Helper:
    """Another process that takes parts from the end, and the thread that asks it.

    Args:
        boards: of the pack.
        parts: what is left to do; the last is taken first.
    """

    def __init__(self, boards: PackBoards, parts: deque[Part]) -> None:
        self._design, self._request, self._since = boards.design, boards.request, boards.since
        self._parts = parts
        self._made: list[PackedFile] = []
        self._error: BaseException | None = None
        self._stopped = threading.Event()
        self._steps, self._lock, self._busy = 0, threading.Lock(), False
        self._thread = threading.Thread(target=self._work, name="pack-helper", daemon=True)
        self._thread.start()

    def news(self) -> int:
        """How many pages and files were made there since this was asked last."""
        with self._lock:
            steps, self._steps = self._steps, 0
        return steps

    @property
    def busy(self) -> bool:
        """Whether it has taken a part; else nobody need wait until its process has begun."""
        with self._lock:
            return self._busy

    def _take(self) -> Part | None:
        with self._lock:
            part = _next(self._parts.pop)
            self._busy = self._busy or part is not None
            return part

    def ended(self, within: float) -> bool:
        """Whether nothing is left to do there, or nothing will come of it; waits for that time at most [s]."""
        self._thread.join(within)
        return not self._thread.is_alive()

    def stop(self) -> None:
        """End the process, with whatever it is at."""
        self._stopped.set()
        self._thread.join()

    def files(self) -> list[PackedFile]:
        """What was made there.

        Raises:
            HolewiseError: something could not be.
        """
        if self._error is not None:
            raise self._error
        return self._made

    def _work(self) -> None:
        workers = JobWorkers(most=1)
        try:
            workers.run(_begin, (), _LONGEST, self._stopped.is_set)
            while (part := self._take()) is not None:
                job = (self._design, self._request, self._since, part)
                self._made += workers.run(part_files, job, _LONGEST, self._stopped.is_set, hear=self._heard)
        except BudgetError as error:
            if str(error) != "gone":
                self._error = BudgetError(f"The pack needed too much of this computer ({error}). Pack less at once.")
        except BaseException as error:  # noqa: BLE001 - handed to whoever waits
            self._error = error
        finally:
            workers.close()

    def _heard(self, steps: int) -> None:
        with self._lock:
            self._steps += steps


def _begin() -> None:
    """Nothing but what it takes to begin: no part is taken by a process that is not there yet."""


def part_files(design: Design, request: PackRequest, since: Since | None, part: Part) -> list[PackedFile]:
    """The files of a part, told of as they are made; for another process."""
    return list(files_of(PackBoards(design, request, since), part, lambda: tell(1)))
