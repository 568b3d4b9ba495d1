"""Boards full of small holes, invented for measuring words on templates: rows and columns of 12 mm buttons."""

from __future__ import annotations

import json
from functools import cache
from string import ascii_uppercase

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.model.resolved import ResolvedBoard

MARGIN = 20.0
"""From the rim to the centres nearest to it [mm]."""


def label(number: int) -> str:
    """A label of its own for each hole, one to six letters long by turns: capitals, filled up with the widest."""
    letters, rest = "", number + 1
    while rest:
        rest, digit = divmod(rest - 1, 26)
        letters = ascii_uppercase[digit] + letters
    return letters + "m" * (1 + number % 6 - len(letters))


@cache
def dense_board(count: int, pitch: float, bore: float = 0.0, *, units: str = "mm") -> ResolvedBoard:
    """``count`` buttons in 12 mm holes, ``pitch`` mm apart both ways, each with a counterbore ``bore`` mm wide."""
    columns = round((1.6 * count) ** 0.5)
    rows = -(-count // columns)
    placements = []
    for k in range(count):
        row, column = divmod(k, columns)
        at = {"x": MARGIN + column * pitch, "y": MARGIN + row * pitch}
        deep = {"counterbore": {"diameter": bore, "depth": 4.5}} if bore else {}
        placements.append({"id": f"p{k}", "part": "button-12-nut-short", "label": label(k), **at, **deep})
    width, depth = 2 * MARGIN + (columns - 1) * pitch, 2 * MARGIN + (rows - 1) * pitch
    corners = [{"x": x, "y": y} for x, y in ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))]
    board = {
        "id": "deck", "name": "Control deck", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": 18.0}],
        "arrangements": [{"id": "all", "name": "All", "placements": placements}],
    }  # fmt: skip
    design = {"format": "holewise-design", "version": 2, "title": "Full board", "units": units, "boards": [board]}
    return resolve(loads(json.dumps(design)), "deck", "all", catalogue())
