"""One run over one database: every part in turn, within a time."""

from __future__ import annotations

import math
import random
import time
import traceback
from collections.abc import Callable

from msgspec import Struct

from tests.endure.away import disk_full, file_moved, quota_reached, server_stopped
from tests.endure.clock import clock_moved
from tests.endure.crew import workers_killed
from tests.endure.damage import damaged_files
from tests.endure.figures import Figures
from tests.endure.hostile import Hostile
from tests.endure.kills import Killing
from tests.endure.large import largest_designs
from tests.endure.memory import WARM, WARM_AT_A_GLANCE, memory_over_time
from tests.endure.nursery import Nursery
from tests.endure.places import Places, places_of
from tests.endure.together import two_programs

KILLS_A_MINUTE = 18
"""Programs killed over one database in a minute of the run, at most."""

CREWS_A_MINUTE = 1
"""The same of workers: another one takes a second or two to begin."""

LEAST_A_MINUTE = {"kills": 1000 / 30 / 2, "hostile inputs": 100_000 / 30 / 2}
"""What a minute over one database has to bring: 1,000 kills and 100,000 inputs in half an hour over both."""

_LEAST_REACHED = 0.9
_STEADY = 10.0  # minutes, from which on starting and walking take so little of a run that its rates are judged


class Task(Struct, frozen=True):
    """What one run does.

    Args:
        database: ``sqlite`` or ``postgres``.
        minutes: how long it takes, about.
        seed: of all that is random.
        whole: also the largest designs, a walk over every page, and hostile inputs, which have little to do with the
            database. Memory has as little, and is looked at on a file.
    """

    database: str
    minutes: float
    seed: int
    whole: bool = True


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
    if not task.whole:
        return figures
    reached = figures.share_reached
    figures.hold(reached >= _LEAST_REACHED, f"only {reached:.1%} of the routes were reached with success")
    for name, least in LEAST_A_MINUTE.items():
        wanted = math.ceil(least * task.minutes) if task.minutes >= _STEADY else 1
        figures.hold(figures.counts[name] >= wanted, f"{figures.counts[name]:,} {name}, not {wanted:,}")
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
    timed("two programs", lambda: two_programs(places.new(), nursery, figures, min(10, max(1.5, seconds / 40))))
    kills = Killing(places.new(), nursery, figures, chance)
    most, crews = (max(few, round(many * task.minutes)) for few, many in ((5, KILLS_A_MINUTE), (2, CREWS_A_MINUTE)))
    timed("kills", lambda: kills.run(most, time.monotonic() + seconds * 0.4))
    late = time.monotonic() + seconds * 0.04
    timed("kills of workers", lambda: workers_killed(places.new(), nursery.log, figures, chance, crews, late))
    if task.whole or task.database == "sqlite":
        warm = WARM if task.minutes >= 1 else WARM_AT_A_GLANCE
        timed("memory", lambda: memory_over_time(places, nursery, figures, time.monotonic() + seconds * 0.05, warm))
    if not task.whole:
        return
    large = 100 if task.minutes < 10 else 5000
    timed("large designs", lambda: largest_designs(places, figures, large))
    hostile = Hostile(places, figures, chance)
    timed("walk", lambda: hostile.walk(max(600, seconds / 8)))
    timed("hostile inputs over HTTP", lambda: hostile.over_http(nursery, time.monotonic() + seconds * 0.1))
    wanted = LEAST_A_MINUTE["hostile inputs"] * task.minutes
    timed("hostile inputs", lambda: hostile.run(began + seconds * 0.97, began + seconds * 1.1, wanted))


def _troubles(places: Places, nursery: Nursery, figures: Figures, chance: random.Random) -> None:
    if places.server is None:
        damaged_files(places, nursery, figures, chance)
        file_moved(places, nursery, figures)
        quota_reached(places, nursery, figures)
    else:
        server_stopped(places, nursery, figures)
    disk_full(places, nursery, figures)
    clock_moved(places, figures)
