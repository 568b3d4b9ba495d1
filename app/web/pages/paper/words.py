"""Sheets, seams and ruled lines in words."""

from __future__ import annotations

from collections.abc import Sequence

from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.tiling import Tiling
from app.service.screens.words import counted, length, listed
from app.units import Unit


def sheets_words(tiling: Tiling) -> str:
    """``4 sheets of A4, portrait,  1 row of 4``."""
    paper = tiling.layout.paper
    if paper.roll:
        pieces = counted(len(tiling.tiles), "piece")
        return f"{pieces} of {paper.name}, cut off {paper.height:g} mm long"
    grid = f", {counted(tiling.rows, 'row')} of {tiling.columns}" if len(tiling.tiles) > 1 else ""
    lies = tiling.orientation
    return f"{counted(len(tiling.tiles), 'sheet')} of {paper.name}, {lies}{grid}"


def seam_words(tiling: Tiling, *, bare: bool) -> str:
    """What the seams run into."""
    cost = tiling.cost
    if len(tiling.tiles) == 1:
        return "No seam."
    if bare:
        return "No holes to drill yet, so the seams go where the fewest sheets are needed."
    if cost.through:
        return f"A seam runs through {counted(cost.through, 'hole centre')}: measure those from the datum edges."
    if cost.near:
        return f"No seam through a hole centre; {counted(cost.near, 'centre')} within 10 mm of one."
    if cost.cut:
        return f"No seam near a hole centre; {counted(cost.cut, 'hole')} cut by one, which does no harm."
    return "No seam touches a hole."


def ruled_words(lines: Sequence[RuledLine], unit: Unit, *, turned: bool) -> tuple[str, ...]:
    """The lines to rule, by the edge they are measured from; ``turned`` if the board lies face down."""
    lines = sorted(lines, key=lambda line: line.distance)
    upright = [length(r.distance, unit) + (" (the centre line)" if r.centre else "") for r in lines if r.axis == "x"]
    along = [length(r.distance, unit) for r in lines if r.axis == "y"]
    edge = "From the left edge, now on your right" if turned else "From the left edge"
    return (f"{edge}: {listed(upright)}", f"From the front edge: {listed(along)}")
