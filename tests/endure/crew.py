"""Workers of one program killed in the middle of edits: the others go on, another one begins, and nothing is lost."""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from contextlib import closing, suppress
from pathlib import Path

from tests.endure.asking import PATIENCE_S
from tests.endure.figures import Figures
from tests.endure.kills import Edits
from tests.endure.ledger import Ledger
from tests.endure.program import Program, runs, started

_CREW = 2
_WINDOWS = 4
_LONGEST_S = 0.25


def workers_killed(
    where: Path | str, log: Path, figures: Figures, chance: random.Random, many: int, until: float
) -> None:
    """Kill so many workers, or until that moment of the monotonic clock; at last the program, and its workers with it.

    Args:
        where: folder or URL of the place.
        log: file for what the program prints.
        figures: what is noted.
        chance: when to kill, seeded.
        many: workers to kill, at least 1.
        until: moment of the monotonic clock after which no more are killed.
    """
    program = _all_ready(where, log, figures)
    ledger = Ledger(figures)
    with closing(program.asker(figures)) as asker:
        for scenario in ("pine-shelf-compact", "lantern-hill-solo"):
            ledger.open(asker, scenario)
    for number in range(many):
        _kill_one(program, ledger, figures, chance, number)
        with closing(program.asker(figures)) as asker:
            ledger.check(asker, f"after worker {number} was killed")
        if time.monotonic() > until:
            break
    left = _whole_crew(program, figures)
    program.kill()
    figures.count("kills")
    limit = time.monotonic() + PATIENCE_S
    while (stay := [pid for pid in left if runs(pid)]) and time.monotonic() < limit:
        time.sleep(0.05)
    figures.hold(not stay, f"{len(stay)} workers stay {PATIENCE_S:g} s after their program was killed")


def _all_ready(where: Path | str, log: Path, figures: Figures) -> Program:
    """A program that has said where it is: it does so once all its workers answer."""
    before = log.stat().st_size if log.exists() else 0
    program = started(where, log, figures, "--workers", str(_CREW))
    limit = time.monotonic() + PATIENCE_S
    while not (said := "Holewise is at" in _since(log, before)) and time.monotonic() < limit:
        time.sleep(0.05)
    figures.hold(said, f"{_CREW} workers did not begin in {PATIENCE_S:g} s: {_since(log, before)[-600:]!r}")
    return program


def _since(log: Path, before: int) -> str:
    return log.read_bytes()[before:].decode("utf-8", "replace")


def _kill_one(program: Program, ledger: Ledger, figures: Figures, chance: random.Random, number: int) -> None:
    """Kill the older of the workers while windows edit; those of the other one go on editing."""
    oldest = _whole_crew(program, figures)[0]
    begun = threading.Event()
    edits = Edits(program, ledger, figures, f"w{number:x}", begun.set)
    edits.start(_WINDOWS)
    figures.hold(begun.wait(30), f"worker {number}: no edit was acknowledged in 30 s")
    time.sleep(chance.uniform(0, _LONGEST_S))
    with suppress(ProcessLookupError):
        os.kill(oldest, signal.SIGKILL)
    time.sleep(chance.uniform(0, _LONGEST_S))
    edits.stop()
    figures.count("kills")
    figures.count("kills of workers")
    figures.count("kills with edits under way", int(edits.join() > 0))


def _whole_crew(program: Program, figures: Figures) -> list[int]:
    """The workers, the oldest first, once there are as many as were asked for."""
    limit = time.monotonic() + PATIENCE_S
    while len(crew := program.workers()) < _CREW and time.monotonic() < limit:
        time.sleep(0.05)
    figures.hold(len(crew) == _CREW, f"{len(crew)} workers, {PATIENCE_S:g} s after one was killed")
    return crew
