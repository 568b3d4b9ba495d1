"""What follows a part while it is dragged: marks, measures, elevation, report and tally, to be swapped in place."""

from __future__ import annotations

import json
from dataclasses import dataclass

from markupsafe import Markup

from app.drafting.snaps import HOLD, Snap, landing, on_grid, snaps
from app.service.checking import CheckResult
from app.service.drawings import moving_svg, row_code
from app.service.facts import sheet_words_of
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
        sheets: sheets of paper it would take, which takes longest to find; empty while it is not still.
        x, y: where the part would land, from the datum edges, in words.
        unit: unit of the fields.
        row: code of the parts that are cut through with it.
        snaps: shifts on the drawing that bring the part to places that draw it, and the grid, as JSON.
    """

    here: Here
    drawing: Markup
    report: ReportBlock
    sheets: str
    x: str
    y: str
    unit: str
    row: str
    snaps: str


@dataclass(frozen=True, slots=True)
class Stage:
    """How far a drag is.

    Args:
        first: whether it only begins.
        still: whether the hand rests, so that there is time for what takes longer.
        row: the code of the row on the page.
    """

    first: bool = False
    still: bool = False
    row: str = ""


def moving_block(seen: CheckResult, here: Here, start: tuple[float, float], grid: float, stage: Stage) -> MovingBlock:
    """The block for a board as it would be with the selected parts moved.

    Args:
        seen: the board as it would be.
        here: the view.
        start: where the part in hand was taken up [mm].
        grid: step of the grid; 0 if nothing draws the part [mm].
        stage: how far the drag is.
    """
    board = seen.resolved
    unit = Unit(board.units)
    report = report_block(seen, here, ways=False, room=False)
    held = board.placed(here.select[0])
    x, y = (as_typed(held.x, unit), as_typed(held.y, unit)) if held is not None else ("", "")
    near = snaps(board, held, here.select) if held is not None and grid > 0 else ()
    on = landing(near, held) if held is not None else {}
    taken = (*on.values(), *on_grid(held, on, grid)) if held is not None else ()
    drawn = moving_svg(seen, here.face, here.select[0], first=stage.first, row=stage.row, taken=taken)
    return MovingBlock(
        here=here,
        drawing=Markup(drawn),  # noqa: S704 - our own writer's SVG
        report=report,
        sheets=sheet_words_of(seen, here.face) if stage.still else "",
        x=x,
        y=y,
        unit=board.units,
        row=row_code(seen, here.select[0]),
        snaps=json.dumps(_shifts(near, here, start, grid)) if grid > 0 else "",
    )


def _shifts(near: tuple[Snap, ...], here: Here, start: tuple[float, float], grid: float) -> dict[str, list[float]]:
    """Shifts of the drawing, which counts downward and shows the underside mirrored [mm]."""
    ways = {"x": -1.0 if here.face == "under" else 1.0, "y": -1.0}
    found: dict[str, list[float]] = {"x": [], "y": [], "grid": [grid], "hold": [HOLD]}
    for snap in near:
        found[snap.axis].append(round(ways[snap.axis] * (snap.at - start[snap.axis == "y"]), 6))
    # How far the first line of the grid is from where the part was taken up.
    found["grid"] += [round(ways[axis] * -(start[axis == "y"] % grid), 6) for axis in ("x", "y")]
    return found
