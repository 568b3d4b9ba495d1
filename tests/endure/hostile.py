"""Hostile documents, outlines, forms and addresses by the thousand: refused or taken, never a fault."""

from __future__ import annotations

import math
import random
import threading
import time
from contextlib import closing
from dataclasses import dataclass

from tests.endure.asking import Asker
from tests.endure.figures import Figures
from tests.endure.inputs import Inputs
from tests.endure.inside import Inside, inside
from tests.endure.nursery import Nursery
from tests.endure.places import Places
from tests.endure.program import forked
from tests.endure.rich import rich_design
from tests.endure.walk import Walk

LOT = 300
"""Inputs sent to one place before a new one is made: what was taken makes the shelf long."""

AFRESH = 50
"""After so many, the design they are about is put back: what was taken makes it large, and each page slow."""

IN_FLIGHT = 3
"""Windows that send at once to a program over HTTP."""


@dataclass
class Hostile:
    """Hostile inputs to one place after the other.

    Args:
        places: where new places are made.
        figures: what is noted.
        chance: what is spoilt, seeded.
    """

    places: Places
    figures: Figures
    chance: random.Random
    _found: tuple[Walk, str] | None = None

    def walk(self, seconds: float) -> None:
        """Walk over every page of a new place, for so long at most; what was right there is spoilt later."""
        where = self.places.new()
        with inside(where, self.figures) as window:
            design = _opened(window)
            walk = Walk(window, self.figures)
            walk.run([design], time.monotonic() + seconds)
            self._found = walk, design
        self.places.drop(where)

    def run(self, until: float, latest: float, wanted: float) -> None:
        """Send to the application in this process until a moment of the monotonic clock, in whole lots.

        Args:
            until: the moment.
            latest: until then it goes on where fewer were sent than are wanted.
            wanted: how many, with those that were sent before.
        """
        inputs = self._inputs()
        end = math.inf
        while time.monotonic() < end:
            where = self.places.new()
            with inside(where, self.figures) as window:
                self._lot(inputs, window, LOT)
            self.places.drop(where)
            end = until if self.figures.counts["hostile inputs"] >= wanted else latest

    def over_http(self, nursery: Nursery, until: float) -> None:
        """Send to running programs, from several windows at once, until that moment, whole lots only."""
        all_inputs = [self._inputs() for _ in range(IN_FLIGHT)]
        begun = False
        while not begun or time.monotonic() < until:
            begun, where = True, self.places.new()
            program = forked(nursery, where, self.figures)
            threads = [
                threading.Thread(target=self._window, args=(inputs, program.asker(self.figures)))
                for inputs in all_inputs
            ]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            program.kill()
            self.places.drop(where)

    def _inputs(self) -> Inputs:
        assert self._found is not None, "nothing was walked over"
        return Inputs.of(*self._found, random.Random(self.chance.random()))

    def _window(self, inputs: Inputs, asker: Asker) -> None:
        with closing(asker):
            try:
                self._lot(inputs, asker, LOT // IN_FLIGHT)
            except Exception as error:  # noqa: BLE001 - told like any other broken promise, and the others go on
                self.figures.hold(held=False, words=f"a program did not answer hostile inputs: {error!r}")

    def _lot(self, inputs: Inputs, window: Inside | Asker, many: int) -> None:
        """Send so many; they count once all are answered, and what was there before them can still be read."""
        design = _opened(window)
        first = window.get(f"/designs/{design}/now").text
        before = window.get(f"/designs/{design}/design.json").text
        for number in range(1, many + 1):
            inputs.send(window, design)
            if number % AFRESH == 0 or number == many:
                window.post(f"/designs/{design}/put-back")
                window.post(f"/designs/{design}/timeline", {"revision": first})
        hold = self.figures.hold
        after = window.get(f"/designs/{design}/design.json").text
        hold(after == before, f"the first moment of {design} is another after {many} hostile inputs")
        for page in ("/", f"/designs/{design}", f"/designs/{design}/timeline"):
            status = window.get(page).status
            hold(status == 200, f"{page} answered {status} after {many} hostile inputs")
        self.figures.count("hostile inputs", many)
        for name, so_many in inputs.told.items():
            self.figures.count(name, so_many)
        inputs.told.clear()


def _opened(window: Inside | Asker) -> str:
    return window.post("/designs/open", files={"file": ("deck.json", rich_design())}).design
