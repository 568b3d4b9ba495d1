"""The memory of a program over a day's use: it does not grow with what was asked."""

from __future__ import annotations

import time

from tests.endure.asking import Asker
from tests.endure.figures import Figures
from tests.endure.nursery import Nursery
from tests.endure.places import Places
from tests.endure.program import started

MOST_GROWTH = 1.3
"""Memory at the end, over that after a third of the time: caches may fill, nothing may grow for good."""

WARM, WARM_AT_A_GLANCE = 12, 4
"""Rounds before growth is measured, and as many after them at least; of a run of less than a minute too."""

_PAGES = ("", "/board", "/stations", "/shop", "/paper", "/timeline", "/judged", "/view.pdf", "/drawing.svg",
          "/thumbnail.svg", "/sheet.svg", "/arrangement.svg")  # fmt: skip


def memory_over_time(places: Places, nursery: Nursery, figures: Figures, until: float, warm_up: int = WARM) -> None:
    """Edit and look, again and again, until that moment of the monotonic clock but for some rounds at least."""
    where = places.new()
    program = started(where, nursery.log, figures)
    figures.memory["at start"] = program.memory()
    asker = program.asker(figures)
    highest = warm = 0.0
    rounds = counted = 0
    third = time.monotonic() + (until - time.monotonic()) / 3
    while rounds < 2 * warm_up or time.monotonic() < until:
        _round(asker, rounds)
        rounds += 1
        highest = max(highest, program.memory())
        if not warm and rounds >= warm_up and time.monotonic() >= third:
            warm, counted = program.memory(), rounds
    end = program.memory()
    figures.memory |= {"after warm-up": warm, "highest": highest, "at end": end}
    figures.count("rounds of use", rounds)
    figures.hold(end <= MOST_GROWTH * warm, f"memory grew from {warm:.0f} to {end:.0f} MB in {rounds - counted} rounds")
    asker.close()
    program.kill()
    places.drop(where)


def _round(asker: Asker, number: int) -> None:
    """A design opened, edited and looked at from all sides, then put away."""
    design = asker.post("/designs/scenario", {"name": "pine-shelf-compact"}).design
    for step in range(3):
        asker.post(f"/designs/{design}/edit/title", {"title": f"Round {number}.{step}"})
        asker.post(f"/designs/{design}/edit/move", {"select": "a", "dx": str(step + 1), "dy": "0", "free": "on"})
        asker.post(f"/designs/{design}/preview", {"select": "a", "dx": "3", "dy": str(number % 9), "first": "on"})
    for page in _PAGES:
        asker.get(f"/designs/{design}{page}")
    asker.get("/")
    asker.post(f"/designs/{design}/remove")
