"""A stick's lever stands as high above the top face as it should, by a recess below the board if need be."""

from __future__ import annotations

from app.fit.bored import spot
from app.fit.depth import SLIGHT
from app.fit.finding import Finding
from app.fit.layout import Layout
from app.fit.recess import propose_recess, recess_detail, recess_wanted
from app.fit.rule import Rule
from app.model.bay import lever_height


def find(layout: Layout) -> list[Finding]:
    """A caution where the lever is too low or too high; one for all placements of a part in the same recess."""
    found: list[Finding] = []
    board, parts = layout.board, layout.parts[0]
    for (index, _, recess), owners in layout.seats.items():
        part = parts[index]
        lever, height = part.lever, lever_height(part, board.thickness, recess.depth if recess else 0.0, board.paint)
        if lever is None or height is None:
            continue
        if lever.height_min - SLIGHT <= height <= lever.height_max + SLIGHT:
            continue
        low = height < lever.height_min
        subjects, where = spot(layout, owners)
        detail: dict[str, float | str] = {
            "cause": "low" if low else "high",
            "height_min": lever.height_min,
            "height_max": lever.height_max,
            "made_depth": recess.depth if recess else 0.0,
        }
        depth = recess_wanted(layout, part)
        if depth is not None and (depth > 0 or recess):
            detail |= recess_detail(propose_recess(layout, part, depth)) | {"left": board.thickness - depth}
        required = lever.height_min if low else lever.height_max
        source = part.source.text
        found.append(Finding(RULE.name, "caution", subjects, where, height, required, source, detail=detail))
    return found


RULE = Rule(
    "lever-height",
    "Each lever stands as high above the top face as its part asks, by a recess below if need be.",
    ("caution",),
    "The part's own measures; the steps of depths are defaults of the catalogue.",
    find,
)
