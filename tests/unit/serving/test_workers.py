"""Which death of a worker ends the program while the others still begin: only that of one that never answered."""

from __future__ import annotations

import multiprocessing
from dataclasses import dataclass
from typing import Any, cast

import pytest

from app.errors import HolewiseError
from app.serving.process_settings import Answering
from app.serving.workers import AnswerProcesses, _Worker
from app.web.guards import Address


@dataclass
class Process:
    """As much of a process as is asked about one that begins."""

    alive: bool

    def is_alive(self) -> bool:
        return self.alive


def beginning(*crew: tuple[bool, bool]) -> AnswerProcesses:
    """Workers that begin: of each whether it is alive, and whether it has said that it answers."""
    workers = AnswerProcesses(Answering(Address(), workers=len(crew)), cast(Any, None))
    for alive, ready in crew:
        ours, its = multiprocessing.Pipe()
        if ready:
            its.send(True)
        its.close()
        workers._workers.append(_Worker(cast(Any, Process(alive)), ours))
    return workers


def test_one_that_answered_and_died_does_not_keep_another_from_beginning(monkeypatch: pytest.MonkeyPatch) -> None:
    workers = beginning((False, True), (True, False))

    def pause(_: float) -> None:
        workers._workers[1].ready = True

    monkeypatch.setattr("app.serving.workers.time.sleep", pause)
    workers._wait_until_ready()
    assert all(worker.ready for worker in workers._workers)


def test_one_that_dies_before_it_answered_ends_the_start() -> None:
    with pytest.raises(HolewiseError, match="could not start"):
        beginning((True, True), (False, False))._wait_until_ready()
