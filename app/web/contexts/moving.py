"""What follows a part while it is dragged: marks, measures, elevation, report and tally, to be swapped in place."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from app.drafting.words import length
from app.service.checking import CheckResult
from app.service.drawings import moving_svg, row_code
from app.units import Unit
from app.web.contexts.here import Here
from app.web.contexts.report import ReportBlock, report_block
from app.web.contexts.words import as_typed


@dataclass(frozen=True, slots=True)
class MovingBlock:
    """What is swapped while a part is dragged.

    Args:
        here: the view.
        drawing: groups of the drawing, each to be swapped for the one of its name.
        report: the fit report, without the ways out: they are worked out when the part is let go.
        x, y: where the part would land, from the datum edges, in words.
        unit: unit of the fields.
        said: the same for a screen reader.
        row: code of the parts that are cut through with it.
    """

    here: Here
    drawing: Markup
    report: ReportBlock
    x: str
    y: str
    unit: str
    said: str
    row: str


def moving_block(seen: CheckResult, here: Here, *, first: bool = False, row: str = "") -> MovingBlock:
    """The block for a board as it would be with the selected parts moved; ``row`` is the code on the page."""
    board = seen.resolved
    unit = Unit(board.units)
    report = report_block(seen, here, ways=False)
    held = board.placed(here.select[0])
    x, y = (as_typed(held.x, unit), as_typed(held.y, unit)) if held is not None else ("", "")
    said = [length(v, unit) for v in (held.x, held.y)] if held is not None else ["", ""]
    drawn = moving_svg(seen, here.face, here.select[0], first=first, row=row)
    name = (held.label or held.part.name) if held is not None else ""
    return MovingBlock(
        here=here,
        drawing=Markup(drawn),  # noqa: S704 - our own writer's SVG
        report=report,
        x=x,
        y=y,
        unit=board.units,
        said=f"{name}, {said[0]} from left, {said[1]} from front, {report.tally.words}",
        row=row_code(seen, here.select[0]),
    )
