"""What follows a part while it is dragged: marks, measures, elevation, report and tally, to be swapped in place."""

from __future__ import annotations

import json

from markupsafe import Markup
from msgspec import Struct

from app.service import CheckResult
from app.service.checks.facts import sheet_words_of
from app.service.edits.dragging import follower_of
from app.web.shared.report import ReportBlock, report_block
from app.web.shared.view_state import ViewState


class MovingBlock(Struct, frozen=True):
    """What is swapped while a part is dragged.

    Args:
        view: the view.
        drawing: groups of the drawing, each to be swapped for the one of its name.
        report: the fit report, without the ways out: they are worked out when the part is let go.
        sheets: sheets of paper it would take, which takes longest to find; empty while it is not still.
        x, y: where the part would land, from the datum edges, in words.
        unit: unit of the fields.
        row: code of the parts that are cut through with it.
        snaps: shifts on the drawing that bring the part to places that draw it, and the grid, as JSON.
    """

    view: ViewState
    drawing: Markup
    report: ReportBlock
    sheets: str
    x: str
    y: str
    unit: str
    row: str
    snaps: str


class Stage(Struct, frozen=True):
    """How far a drag is.

    Args:
        first: whether it only begins.
        still: whether the hand rests, so that there is time for what takes longer.
        row: the code of the row on the page.
    """

    first: bool = False
    still: bool = False
    row: str = ""


def moving_block(
    seen: CheckResult, view: ViewState, start: tuple[float, float], grid: float, stage: Stage
) -> MovingBlock:
    """The block for a board as it would be with the selected parts moved.

    Args:
        seen: the board as it would be.
        view: the view.
        start: where the part in hand was taken up [mm].
        grid: step of the grid; 0 if nothing draws the part [mm].
        stage: how far the drag is.
    """
    found = follower_of(seen, view.face, view.select, start, grid, first=stage.first, row=stage.row)
    return MovingBlock(
        view=view,
        drawing=Markup(found.drawing),  # noqa: S704 - our own writer's SVG
        report=report_block(seen, view, ways=False, page=False),
        sheets=sheet_words_of(seen, view.face) if stage.still else "",
        x=found.x,
        y=found.y,
        unit=seen.resolved.units,
        row=found.row,
        snaps=json.dumps(found.lines) if found.lines else "",
    )
