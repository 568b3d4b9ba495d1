"""How the true-size sheets of an outline are laid: those of the drill template's tiling that show a curve or slope."""

from __future__ import annotations

import numpy as np

from app.drafting.template.outline_template import outline_template
from app.drafting.words import unit_of
from app.model.plotting import Plotting
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import SheetSet, plan_sheets
from app.paper.sheet.tiling import Tile
from app.paper.sheet.title_strip import check_code
from app.scene.primitives import Line
from app.shop.outline_marks import OutlineMarks, outline_marks
from app.values import replace


def plotting_of(board: ResolvedBoard, printing: Printing) -> Plotting:
    """How curves are plotted: as asked, or as usual in the board's unit."""
    unit = unit_of(board)
    asked = printing.plotting
    return asked if asked is not None and asked.unit is unit else Plotting.usual(unit)


def outline_plan(board: ResolvedBoard, printing: Printing) -> tuple[OutlineMarks, SheetSet]:
    """What has to be marked out, and the true-size sheets of it; none where every line is level or upright.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    plotting = plotting_of(board, printing)
    marks = outline_marks(board, plotting)
    bare = board.populated(())
    plan = plan_sheets(bare, "top", printing)
    template = outline_template(board, marks, unit_of(board))
    tiles = _shown(plan.tiling.tiles, template.crosses, marks, board.outline.bounds[:2])
    # Sheets with ticks of another spacing, or made for another way of reading, do not belong together.
    named = replace(bare, id=f"{board.id} {plotting.spacing} {plotting.reading}")
    code = check_code(named, "top", plan.tiling, printing)
    return marks, replace(plan, template=template, tiling=replace(plan.tiling, tiles=tiles), code=code)


def _shown(
    tiles: tuple[Tile, ...], ticks: tuple[object, ...], marks: OutlineMarks, datum: tuple[float, ...]
) -> tuple[Tile, ...]:
    """The sheets whose own part of the board has a tick in it, or a stretch of a sloped line."""
    lines = [tick for tick in ticks if isinstance(tick, Line)]
    at = [np.array([((t.a[0] + t.b[0]) / 2, (t.a[1] + t.b[1]) / 2) for t in lines]).reshape(-1, 2)]
    for line in marks.lines:  # a point every few millimetres: no sheet is so narrow
        ends = np.array(line.ends) + np.array(datum[:2])
        share = np.linspace(0.0, 1.0, 2 + int(np.hypot(*(ends[1] - ends[0])) / 20.0))[:, None]
        at.append(ends[0] * (1 - share) + ends[1] * share)
    x, y = np.vstack(at).T

    def shows(tile: Tile) -> bool:
        x0, y0, x1, y1 = tile.cell
        return bool(((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)).any())

    return tuple(tile for tile in tiles if shows(tile))
