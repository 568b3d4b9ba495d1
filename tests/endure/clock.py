"""A clock that is put back and forward between edits: every step is kept, in the order it was made."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from itertools import cycle

from tests.endure.figures import Figures
from tests.endure.inside import Inside, inside
from tests.endure.places import Places

_JUMPS = (
    timedelta(),
    timedelta(days=-20_000),
    timedelta(days=20_000),
    timedelta(hours=-1),
    timedelta(seconds=-1),
    timedelta(days=-365),
)


def clock_moved(places: Places, figures: Figures) -> None:
    """Edit, undo and redo, with the clock elsewhere each time."""
    jumps = cycle(_JUMPS)
    where = places.new()
    with inside(where, figures, lambda: datetime.now(UTC) + next(jumps)) as window:
        design = window.post("/designs/scenario", {"name": "pine-shelf-compact"}).design
        titles = [f"step{number}" for number in range(12)]
        for title in titles:
            window.post(f"/designs/{design}/edit/title", {"title": title})
        _steps_in_order(window, design, titles, figures)
        for way in ("undo", "undo", "redo", "undo"):
            window.post(f"/designs/{design}/{way}")
        shown = window.get(f"/designs/{design}/design.json").text
        figures.hold('"step9"' in shown, f"after undo, undo, redo, undo of step11 the clock has {shown[:120]!r} shown")
        figures.hold(window.get("/").status == 200, "clock moved: the shelf does not open")
    places.drop(where)


def _steps_in_order(window: Inside, design: str, titles: list[str], figures: Figures) -> None:
    answer = window.get(f"/designs/{design}/timeline")
    found = re.findall(r"<strong>.*?(step\d+)", answer.text)
    figures.hold(found == titles[::-1], f"clock moved: the timeline has {found}")
