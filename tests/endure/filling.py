"""Forms filled in as somebody fills them in who knows what is asked; some only the page's scripts send."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from app.catalogue.load import paper_by_text
from app.document.load import loads
from app.model.printing import Printing
from app.service import export_file
from app.service.drawings.printers import bars_of
from app.units import Unit
from app.web.pages.board_edit.context import GROUPS
from tests.endure.asking import Files
from tests.endure.inside import Inside
from tests.endure.rich import rich_design
from tests.reading.pages import Sheet
from tests.web.requests.test_any_form import pages_of, unseen

Form = tuple[str, dict[str, str], Files]

_TYPED = {
    "title": "Deck for the kitchen",
    "reason": "measured on the bench",
    "name": "own",
    "cut-before": "20 mm",
    "cut-after": "20 mm",
    "by": "15",
    "shift-x": "3 mm",
    "diameter": "11 mm",
    "thickness-new": "6 mm",
    "bore-diameter": "44 mm",
    "bore-depth": "4 mm",
    "recess-width": "70 mm",
    "recess-height": "70 mm",
    "recess-depth": "4 mm",
    "rel-dx": "40 mm",
    "reach": "60 mm",
    "settings-checked": "on",
    "width": "62 mm",
    "height": "41 mm",
    "depth": "12 mm",
    "pin": "3",
}
"""What is typed into a field that is shown empty."""


_PRINTER = "in the hall"


def filled(window: Inside, sheet: Sheet) -> dict[str, str]:
    """The fields of a form, with something right in those that were empty."""
    fields = dict(sheet.fields)
    for name, text in fields.items():
        if not text.strip() and name in _TYPED:
            fields[name] = _TYPED[name]
    bars = [name for name in fields if name.startswith("bar-")]
    return fields | (_measured(fields.get("paper", "a4")) if bars else {})


def _measured(paper: str) -> dict[str, str]:
    """What a rule shows on the check sheet of a printer that prints everything half a per cent too small."""
    bars = bars_of(Printing(paper_by_text(paper)), Unit.MM)
    return {f"bar-{bar.name}": f"{bar.length * 0.995:.2f} mm" for bar in bars}


@cache
def own_files() -> dict[str, bytes]:
    """A design and its outline as DXF and SVG, by ending."""
    design = loads(rich_design())
    return {"json": rich_design()} | {fmt: export_file(design, fmt=fmt).data for fmt in ("dxf", "svg")}


def outline_files(action: str) -> list[Files]:
    """What is chosen for the file fields of a form, one after the other."""
    endings = ("json",) if action.endswith(("/open", "/compare", "/compare.pdf")) else ("dxf", "svg")
    return [{"file": (f"deck.{ending}", own_files()[ending])} for ending in endings]


def _tick(bit: Mapping[str, Any]) -> str:
    """The name of the box that keeps a bit."""
    return f"keep-{bit['kind']} {bit['diameter']} {bit['reach']}"


def _at_the_board(placement: str) -> list[tuple[str, dict[str, str]]]:
    """What is said of holes, wires, legends and trial cuts of the rich design, by its form, with what is typed."""
    code, done, trial = f"{placement}/hole-1/through", "bush/hole-1/through", "fit.hole~button-28-nut-long~forstner~28"
    return [
        ("at-board/off", {"at": code, "across": "1", "side": "right", "unit": "mm"}),
        ("at-board/rest", {"at": code}),
        ("at-board/clear", {"at": done}),
        ("built/clear", {"at": done}),
        ("built/keep", {"shown": "", f"on.{code}": "on"}),
        ("coupon", {trial: "right", f"{trial}.was": "untried"}),
        ("legends/legend-delete", {"placement": "d"}),
        ("wiring/place", {"placement": "reader", "x-reader": "430 mm", "y-reader": "112 mm"}),
        ("wiring/remove", {"placement": "reader"}),
    ]


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
    beside = {"select": first, "to": second, "rel-dx": "40", "rel-dx.was": "", "rel-dy": "1"}
    base = f"/designs/{design}"
    forms: list[Form] = [
        (f"{base}/preview", moved | {"first": "on"}, {}),
        (f"{base}/edit/move", moved, {}),
        (f"{base}/board/preview", pulled, {}),
        (f"{base}/board/drag", pulled, {}),
        (f"{base}/edit/add", placed, {}),
        (f"{base}/edit/place-beside", beside, {}),
        (f"{base}/board/corner-remove", {"ring": "0", "index": "3"}, {}),
        (f"{base}/edit/counterbore-clear", {"select": third}, {}),
        (
            f"{base}/pattern",
            {"order": "rings", "hole": "4 mm", "pitch": "9 mm", "shape": "circle", "width": "40 mm"},
            {},
        ),
        (f"{base}/printer/keep", {"paper": "a4", "printer-name": _PRINTER, **_measured("a4")}, {}),
        (f"{base}/printer/forget", {"paper": "a4", "whose": _PRINTER, "kept-paper": "a4"}, {}),
        (f"{base}/shop/bits-keep", {_tick(json.loads(rich_design())["shop"]["bits"][0]): "on"}, {}),
        (f"{base}/shop/bits-clear", {}, {}),
        (f"{base}/shop/bits-swap", {}, {}),
        *((address, fields, {}) for address, fields in unseen(design, first) if "/stations/" not in address),
        *((f"{base}/{verb}", fields, {}) for verb, fields in _at_the_board(first)),
        (f"{base}/compare.pdf", {}, outline_files("/compare.pdf")[0]),
        (f"{base}/duplicate", {}, {}),
        (f"{base}/remove", {}, {}),
        (f"{base}/put-back", {}, {}),
    ]
    pages = [f"{base}?select={held}" for held in (first, f"{first},{second},{third}", third)]
    groups = [f"{base}/board?group={group}" for group in (*GROUPS, "openings&hold=opening-1")]
    own = ("part/bush", "parts/cable-bush.svg", "pattern", "pattern/vent")
    files = ("now", "stored.json", "thumbnail.svg", "arrangement.svg", f"part/{first}", *own, "room", "states")
    ways = f"ways?of={window.get(f'{base}/now').text}"
    board, one = raw["boards"][0]["id"], raw["boards"][0]["arrangements"][0]["id"]
    little = f"chosen=1&boards={board}&arrangements={one}&papers=a4&units=mm&only=design"
    lists = (*(f"retrofit.{kind}?from=now" for kind in ("pdf", "csv", "json")), "make/fan.svg", f"pack.zip?{little}")
    made = f"made/{raw['boards'][-1]['arrangements'][0]['makers'][0]['id']}?board={raw['boards'][-1]['id']}"
    every = (f"{base}/{name}" for name in (*files, "printer", ways, *lists, made))
    return forms, [*pages, *every, *groups, *pages_of(design, first, second), "/health", "/ready"]
