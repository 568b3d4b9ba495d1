"""A small design with something of everything, so that every form of every page is there to be filled in."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from msgspec.structs import asdict

from app.document.dump import dumps
from app.document.load import loads
from app.document.scenarios import load_scenario
from app.fit.report.acceptance import accepted_as
from app.service.checks.checking import check_design
from app.service.edits.makers import board_made

WIDTH = 620.0
"""Width of its board [mm]: with it its one player sits left of the middle, and can be copied to the right."""

_MOUSE_HOLE = {
    "id": "cable-bush",
    "name": "Cable bush, 25 mm hole, pushed in",
    "kind": "socket",
    "mount": "top",
    "source": "Invented for demonstration.",
    "basis": "typical",
    "cutouts": [{"shape": "circle", "x": 0.0, "y": 0.0, "diameter": 25.0, "smallest": 24.9, "largest": 25.5}],
    "fixing": {"type": "snap", "grip_min": 10.0, "grip_max": 25.0},
    "body": {"shape": "circle", "x": 0.0, "y": 0.0, "diameter": 24.5, "depth": 16.0},
}


_VENT = {
    "id": "vent",
    "order": "staggered-60",
    "hole": 4.0,
    "pitch": 8.0,
    "boundary": {"shape": "rectangle", "width": 40.0, "height": 24.0, "corner": 4.0},
}
_COMPANIONS = ("grille", "fan")
"""Makers of the boards beside the deck: one is a pattern with screws, one an opening with hardware."""


@cache
def rich_design() -> bytes:
    """The design as a file: layers, an opening, a clear area, a part of its own, bores, findings, one accepted.

    On its deck also a pattern of holes, a legend, an encoder board and a hole that is drilled; beside the deck boards
    that makers made; and a column and a step of its own.
    """
    raw: dict[str, Any] = json.loads(dumps(load_scenario("pine-shelf-compact")))
    raw["units"], raw["hardware"] = "mm", [_MOUSE_HOLE]
    board = raw["boards"][0]
    for corner in board["outline"]["corners"][1:3]:
        corner["x"] = WIDTH
    board["outline"]["openings"] = [[{"x": x, "y": y} for x, y in ((520, 30), (560, 30), (560, 60), (520, 60))]]
    board["layers"].append({"material": "mdf", "thickness": 6.0})
    board["keep_clear"] = [{"face": "under", "x": 500.0, "y": 150.0, "width": 30.0, "height": 20.0, "label": "hinge"}]
    arrangement = board["arrangements"][0]
    held = {entry["id"]: entry for entry in arrangement["placements"]}
    held["a"]["recess"] = {"width": 110.0, "height": 70.0, "corner": 6.0, "depth": 3.0}
    held["c"]["counterbore"] = {"diameter": 44.0, "depth": 4.0}
    held["b"]["x"] += 9.0  # too near to the next, and no longer where its station laid it
    bush = {"id": "bush", "part": "cable-bush", "x": 540.0, "y": 110.0, "label": "H"}
    arrangement["placements"].append({**bush, "recess": {"width": 30.0, "height": 30.0, "corner": 6.0, "depth": 4.0}})
    held["d"]["legend"] = {"text": "GO", "height": 5.0}
    raw["columns"] = [{"id": "price", "name": "Price", "cells": [{"line": "part.button-28-nut-long", "text": "2.40"}]}]
    tea = {"key": "own/1", "title": "Have tea", "text": "Ten minutes."}
    raw["steps"] = {"worded": [], "added": [tea], "hidden": ["paint/deck"], "order": [], "last": 1}
    raw["patterns"] = [_VENT]
    arrangement["placements"].append({"id": "reader", "part": "encoder-12-screw", "x": 420.0, "y": 110.0, "label": ""})
    arrangement["as_built"] = [
        {
            "placement": "bush", "cut": "hole-1", "work": "through", "at": [bush["x"], bush["y"]],
            "off": [0.0, 0.0], "width": 25.0, "name": "H", "when": "2026-02-01T10:30:00Z",
        }
    ]  # fmt: skip
    arrangement["placements"].append({"id": "vent-1", "part": "vent", "x": 590.0, "y": 150.0, "angle": 30.0})
    findings = check_design(loads(json.dumps(raw)))[0].report.findings
    caution = next(found for found in findings if found.severity == "caution")
    arrangement["accepted"] = [asdict(accepted_as(caution, "measured on the bench"))]
    design = loads(json.dumps(raw))
    for maker in _COMPANIONS:
        design = board_made(maker, {})(design).design
    return dumps(design).encode()
