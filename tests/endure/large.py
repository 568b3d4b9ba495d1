"""The largest designs that are let in: every page of them answers in time."""

from __future__ import annotations

import itertools
import json
import time
from typing import Any

from app.model import limits
from tests.endure.figures import Figures
from tests.endure.inside import Inside, inside
from tests.endure.places import Places
from tests.endure.rich import rich_design

PAGES = ("", "?select=p0", "/board", "/board?group=corners", "/stations", "/shop", "/paper", "/timeline", "/judged",
         "/outline", "/printer", "/drawing.svg", "/drawing.dxf", "/view.pdf", "/thumbnail.svg", "/sheet.svg?leaf=1",
         "/template.pdf", "/arrangement.svg", "/design.json", "/room", "/part/p0")  # fmt: skip

_LEAST = 25
_STEP = 30.0
_LONG_S = 5.0


def largest_designs(places: Places, figures: Figures, most: int) -> None:
    """Open designs with more and more parts and corners, up to ``most`` or the limit, and ask for their pages."""
    where = places.new()
    with inside(where, figures) as window:
        for limit, make in ((limits.PARTS, _of_parts), (limits.CORNERS, _of_corners)):
            pages = list(PAGES)
            most_here = min(most, limit.most)
            for many in _sizes(most_here):
                what = f"{many} {limit.unit}"
                answer = window.post("/designs/open", files={"file": ("large.json", make(many))})
                if figures.hold(answer.status == 303, f"a design of {what} was answered {answer.status}"):
                    _ask_all(window, answer.design, figures, what, pages if many < most_here else list(PAGES))
                    figures.counts[f"largest design: {limit.name}"] = many
                    window.post(f"/designs/{answer.design}/remove")
    places.drop(where)


def _sizes(most: int) -> list[int]:
    """Twice as many each time, and at last as many as there may be."""
    doubled = (_LEAST * 2**n for n in itertools.count())
    return [*itertools.takewhile(lambda many: many < most, doubled), most]


def _ask_all(window: Inside, design: str, figures: Figures, what: str, pages: list[str]) -> None:
    for page in list(pages):
        began = time.monotonic()
        status = window.get(f"/designs/{design}{page}").status
        # A search for room may be ended by its hard limit; it says so.
        figures.hold(status == 200 or (page == "/room" and status == 503), f"{page} of {what} answered {status}")
        if status != 200 or time.monotonic() - began > _LONG_S:
            # It is asked for again at the limit; on each board before that it would take longer and tell nothing new.
            pages.remove(page)
            figures.count(f"{page or '/'} takes more than {_LONG_S:g} s with {what}")


def _of_parts(many: int) -> bytes:
    """A board with so many buttons in rows, too near to each other here and there."""
    raw, board = _bare()
    columns = max(5, round(many**0.5))
    for corner, (x, y) in zip(board["outline"]["corners"], ((0, 0), (1, 0), (1, 1), (0, 1)), strict=True):
        corner |= {"x": x * (columns + 2) * _STEP, "y": y * (many / columns + 3) * _STEP, "setback": None}
    board["arrangements"][0] |= {"stations": [], "placements": [_button(n, columns) for n in range(many)]}
    return json.dumps(raw).encode()


def _button(number: int, columns: int) -> dict[str, Any]:
    row, column = divmod(number, columns)
    shift = 0.4 if number % 7 == 0 else 0.0
    place = {"x": (column + 1.5 + shift) * _STEP, "y": (row + 1.5) * _STEP}
    return {"id": f"p{number}", "part": "button-24-nut-long", "label": f"P{number}", **place}


def _of_corners(many: int) -> bytes:
    """A board whose back edge is a saw of so many corners."""
    raw, board = _bare()
    wide = many * 10.0
    back = [{"x": wide - n * wide / many, "y": 200.0 + 5.0 * (n % 2)} for n in range(many - 3)]
    board["outline"]["corners"] = [{"x": 0.0, "y": 0.0}, {"x": wide, "y": 0.0}, *back, {"x": 0.0, "y": 200.0}]
    board["arrangements"][0] |= {"stations": [], "placements": [_button(0, 5)]}
    return json.dumps(raw).encode()


def _bare() -> tuple[dict[str, Any], dict[str, Any]]:
    raw: dict[str, Any] = json.loads(rich_design())
    raw["hardware"], raw["patterns"], raw["boards"] = [], [], raw["boards"][:1]
    board = raw["boards"][0]
    board["outline"]["openings"], board["keep_clear"], board["edges"] = [], [], {}
    return raw, board
