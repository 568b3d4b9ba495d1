"""Programs killed in the middle of edits: what they had acknowledged is there when they start anew."""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.endure.asking import Gone
from tests.endure.figures import Figures
from tests.endure.ledger import Ledger, placements
from tests.endure.nursery import Nursery
from tests.endure.program import Program, forked, started

WINDOWS = 4
AS_A_USER = 50
"""One start in so many is that of a user; the others are forks."""

_NEW_DESIGNS = 20
_ALL_PAGES = 4  # after one kill in so many, shelf and designs have to open; the edits are looked for after each
_LONGEST_S = 0.25
_LEAST = 3  # kills, however slow the machine


@dataclass
class Killing:
    """Kills of programs on one place.

    Args:
        where: folder or URL of the place.
        nursery: what forks programs.
        figures: what is noted.
        chance: when to kill, seeded.
    """

    where: Path | str
    nursery: Nursery
    figures: Figures
    chance: random.Random

    def run(self, many: int, until: float) -> None:
        """Kill so many programs, or until that moment of the monotonic clock but for some at least."""
        ledger = Ledger(self.figures)
        for number in range(many):
            program = self._start(number)
            self._check(program, ledger, number)
            self._edit_and_kill(program, ledger, number)
            if number + 1 >= _LEAST and time.monotonic() > until:
                break
        last = self._start(0)
        self._check(last, ledger, 0)
        last.kill()

    def _start(self, number: int) -> Program:
        began = time.perf_counter()
        if number % AS_A_USER == 0:
            return started(self.where, self.nursery.log, self.figures)
        program = forked(self.nursery, self.where, self.figures)
        self.figures.count("milliseconds of starts", round((time.perf_counter() - began) * 1000))
        return program

    def _check(self, program: Program, ledger: Ledger, number: int) -> None:
        asker = program.asker(self.figures)
        ledger.check(asker, f"after kill {number}", pages=number % _ALL_PAGES == 0)
        if number % _NEW_DESIGNS == 0:
            # A timeline that grows without end would measure something else.
            for design in ledger.designs:
                asker.post(f"/designs/{design}/remove")
            ledger.forget()
            for scenario in ("pine-shelf-compact", "lantern-hill-solo"):
                ledger.open(asker, scenario)
        asker.close()

    def _edit_and_kill(self, program: Program, ledger: Ledger, number: int) -> None:
        begun = threading.Event()
        edits = Edits(program, ledger, self.figures, f"{number:x}", begun.set)
        edits.start(WINDOWS)
        self.figures.hold(begun.wait(30), f"kill {number}: no edit was acknowledged in 30 s")
        time.sleep(self.chance.uniform(0, _LONGEST_S))
        program.kill()
        self.figures.count("kills")
        self.figures.count("kills with edits under way", int(edits.join() > 0))


class Edits:
    """Windows that edit the same designs at once, until the program goes or they are told to stop.

    Args:
        program: what they ask.
        ledger: with the designs.
        figures: what is noted.
        mark: what the words of these edits begin with, used once.
        begun: called at each acknowledged edit.
    """

    def __init__(
        self, program: Program, ledger: Ledger, figures: Figures, mark: str, begun: Callable[[], None] = lambda: None
    ) -> None:
        self._program, self._ledger, self._figures = program, ledger, figures
        self._mark, self._begun = mark, begun
        self._stop = threading.Event()
        self._threads: list[threading.Thread] = []
        self._under_way = 0
        self._lock = threading.Lock()

    def start(self, windows: int) -> None:
        """Begin to edit in so many windows."""
        asker = self._program.asker(self._figures)
        held = {design: placements(asker, design) for design in self._ledger.designs}
        asker.close()
        for window in range(windows):
            design = self._ledger.designs[window % len(held)]
            # Every other window of a design labels a part of its own, the others give titles.
            placement = held[design][window] if window // len(held) % 2 else ""
            thread = threading.Thread(
                target=self._edit, args=(design, placement, f"{self._mark}.{window}"), daemon=True
            )
            self._threads.append(thread)
            thread.start()

    def join(self) -> int:
        """Wait until all windows have stopped; gives how many edits were under way when the program went."""
        for thread in self._threads:
            thread.join(timeout=120)
        return self._under_way

    def stop(self) -> None:
        """Have the windows stop after the edit they are at, and wait for them."""
        self._stop.set()
        self.join()

    def _edit(self, design: str, placement: str, mark: str) -> None:
        asker = self._program.asker(self._figures)
        number = 0
        try:
            while not self._stop.is_set():
                number += 1
                status = self._ledger.edit(asker, design, f"{mark}.{number:x}", placement)
                if not self._figures.hold(status == 303, f"edit {mark}.{number:x} of {design} answered {status}"):
                    return
                self._begun()
        except Gone:
            with self._lock:
                self._under_way += 1
        finally:
            asker.close()
