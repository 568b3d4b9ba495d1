"""One run over one database: every part in turn, within a time."""

from __future__ import annotations

import random
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass

from tests.endure.away import disk_full, file_moved, quota_reached, server_stopped
from tests.endure.clock import clock_moved
from tests.endure.damage import damaged_files
from tests.endure.figures import Figures
from tests.endure.hostile import Hostile
from tests.endure.kills import Killing
from tests.endure.large import largest_designs
from tests.endure.memory import memory_over_time
from tests.endure.nursery import Nursery
from tests.endure.places import Places, places_of
from tests.endure.program import forked
from tests.endure.together import two_programs

KILLS_A_MINUTE = 20
"""Most kills over one database in a minute of the run."""

_LEAST_REACHED = 0.9


@dataclass(frozen=True, slots=True)
class Task:
    """What one run does.

    Args:
        database: ``sqlite`` or ``postgres``.
        minutes: how long it takes, about.
        seed: of all that is random.
    """

    database: str
    minutes: float
    seed: int


def run(task: Task) -> Figures:
    """Do all parts; what was seen."""
    figures = Figures()
    with places_of(task.database) as places:
        nursery = Nursery(places.folder / "printed.log")
        try:
            _parts(task, places, nursery, figures)
        finally:
            nursery.close()
        printed = nursery.log.read_text("utf-8", "replace")
        place = printed.find("Traceback")
        figures.hold(place < 0, f"a program printed: {printed[max(0, place - 300) : place + 2500]}")
    reached = figures.share_reached
    figures.hold(reached >= _LEAST_REACHED, f"only {reached:.1%} of the routes were reached with success")
    figures.hold(figures.counts["kills"], "nothing was killed")
    return figures


def _parts(task: Task, places: Places, nursery: Nursery, figures: Figures) -> None:
    seconds = task.minutes * 60
    began = time.monotonic()
    chance = random.Random(f"{task.database} {task.seed}")

    def timed(name: str, part: Callable[[], object]) -> None:
        start = time.monotonic()
        try:
            part()
        except Exception:  # noqa: BLE001 - what one part came to grief on must not hide what the others see
            figures.hold(held=False, words=f"{name} came to grief: {traceback.format_exc()[-3000:]}")
        figures.count(f"seconds of {name}", round(time.monotonic() - start))

    timed("trouble", lambda: _troubles(places, nursery, figures, chance))
    timed("two programs", lambda: two_programs(places.new(), nursery, figures, min(10, seconds / 40)))
    kills = Killing(places.new(), nursery, figures, chance)
    most = max(5, round(KILLS_A_MINUTE * task.minutes))
    timed("kills", lambda: kills.run(most, time.monotonic() + seconds * 0.4))
    large = 100 if task.minutes < 10 else 5000
    timed("large designs", lambda: largest_designs(places, figures, large))
    timed("memory", lambda: memory_over_time(places, nursery, figures, time.monotonic() + seconds * 0.08))
    hostile = Hostile(places, figures, chance)
    timed("hostile inputs", lambda: hostile.run(began + seconds * 0.95, max(120, seconds / 8)))
    timed("hostile inputs over HTTP", lambda: _over_http(hostile, places, nursery, figures, task.minutes))


def _troubles(places: Places, nursery: Nursery, figures: Figures, chance: random.Random) -> None:
    if places.server is None:
        damaged_files(places, nursery, figures, chance)
        file_moved(places, nursery, figures)
        quota_reached(places, nursery, figures)
    else:
        server_stopped(places, nursery, figures)
    disk_full(places, nursery, figures)
    clock_moved(places, figures)


def _over_http(hostile: Hostile, places: Places, nursery: Nursery, figures: Figures, minutes: float) -> None:
    program = forked(nursery, places.new(), figures)
    asker = program.asker(figures)
    hostile.sample(asker, max(30, round(50 * minutes)))
    asker.close()
    program.kill()
