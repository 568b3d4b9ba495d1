"""Small boards of a few round buttons, invented to be drilled to one state and made into another."""

from __future__ import annotations

import json
from collections.abc import Sequence

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.resolved import ResolvedBoard

Button = tuple[str, float, float, str]
"""Id, place from the left and from the front [mm], and the part."""

NUT_24, NUT_28, NUT_30 = "button-24-nut-long", "button-28-nut-long", "button-30-nut-long"


def drilled_design(
    buttons: Sequence[Button], *, size: tuple[float, float] = (300.0, 200.0), thickness: float = 18.0, units: str = "mm"
) -> Design:
    """A deck of MDF with some buttons, drilled on a press."""
    (width, depth), letters = size, "ABCDEFGHJKLMNPQRSTUVWXYZ"
    corners = [{"x": x, "y": y} for x, y in ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))]
    placements = [
        {"id": ident, "part": part, "label": letters[int(ident[1:])], "x": x, "y": y} for ident, x, y, part in buttons
    ]
    board = {
        "id": "deck", "name": "Control deck", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": thickness}],
        "arrangements": [{"id": "all", "name": "All", "placements": placements}],
    }  # fmt: skip
    raw = {"format": "holewise-design", "version": 2, "title": "Drilled board", "units": units, "boards": [board]}
    return loads(json.dumps(raw))


def drilled_board(
    buttons: Sequence[Button], *, size: tuple[float, float] = (300.0, 200.0), thickness: float = 18.0
) -> ResolvedBoard:
    """The same, resolved."""
    return resolve(drilled_design(buttons, size=size, thickness=thickness), "deck", "all", catalogue())
