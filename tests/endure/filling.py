"""Forms filled in as somebody fills them in who knows what is asked; some only the page's scripts send."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.service import export_file
from tests.endure.asking import Files
from tests.endure.inside import Inside
from tests.pages import Sheet

SCENARIO = "pine-shelf-compact"

Form = tuple[str, dict[str, str], Files]

GROUPS = ("size", "corners", "openings", "layers", "edges", "below", "clear", "shape")

_TYPED = {
    "title": "Deck for the kitchen",
    "reason": "measured on the bench",
    "name": "own",
    "cut-before": "20",
    "cut-after": "20",
    "by": "15",
    "shift-x": "3",
    "diameter": "11",
    "thickness-new": "6",
    "printer": "study",
    "settings-checked": "on",
}
"""What is typed into a field that is shown empty, in the unit of the page."""


def filled(window: Inside, sheet: Sheet) -> dict[str, str]:
    """The fields of a form, with something right in those that were empty."""
    fields = dict(sheet.fields)
    for name, text in fields.items():
        if not text.strip() and name in _TYPED:
            fields[name] = _TYPED[name]
        elif name.startswith("bar-") and not text.strip():
            fields[name] = "100"
    return fields


@cache
def own_files() -> dict[str, bytes]:
    """A design and its outline as DXF and SVG, by ending."""
    design = load_scenario(SCENARIO)
    drawings = {fmt: export_file(design, fmt=fmt).data for fmt in ("dxf", "svg")}
    return {"json": dumps(design).encode(), **drawings}


def outline_files(action: str) -> list[Files]:
    """What is chosen for the file fields of a form, one after the other."""
    endings = ("json",) if action.endswith("/open") else ("dxf", "svg")
    return [{"file": (f"deck.{ending}", own_files()[ending])} for ending in endings]


def by_hand(window: Inside, design: str) -> tuple[list[Form], list[str]]:
    """Forms that only the page's scripts send, and pages that no link leads to without them: with parts in hand.

    Gives the address, fields and files of each form, and the addresses of the pages.
    """
    raw: dict[str, Any] = json.loads(window.get(f"/designs/{design}/design.json").text)
    entries = raw["boards"][0]["arrangements"][0]["placements"]
    first, second, third = (entry["id"] for entry in entries[:3])
    moved = {"select": first, "dx": "2", "dy": "1", "free": "on"}
    pulled = {"handle": "edge-0-1", "dx": "4", "dy": "0"}
    placed = {"part": entries[0]["part"], "x": "150", "y": "110"}
    beside = {"select": first, "to": second, "how": "steps", "rel-dx": "40", "rel-dx.was": "", "rel-dy": "1"}
    base = f"/designs/{design}"
    forms: list[Form] = [
        (f"{base}/preview", moved | {"first": "on"}, {}),
        (f"{base}/edit/move", moved, {}),
        (f"{base}/board/preview", pulled, {}),
        (f"{base}/board/drag", pulled, {}),
        (f"{base}/edit/add", placed, {}),
        (f"{base}/edit/relative", beside, {}),
        (f"{base}/board/opening-add", {"x": "20", "y": "20", "width": "30", "height": "20"}, {}),
        (f"{base}/board/clear-add", {"x": "20", "y": "60", "width": "30", "height": "20", "face": "under"}, {}),
    ]
    pages = [f"{base}?select={held}" for held in (first, f"{first},{second},{third}", f"{first}&to={second}")]
    groups = [f"{base}/board?group={group}" for group in GROUPS]
    return forms, [base, f"{base}/now", f"{base}/stations", f"{base}/printer", *pages, *groups]
