"""The sheets of a template laid over the board, as they will print."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.shop import Paper
from app.paper import sheet_map as drawn
from app.paper.sheets import SheetSet, plan_sheets
from app.writers import svg


@dataclass(frozen=True, slots=True)
class SheetMap:
    """How a template is laid over sheets of paper.

    Args:
        drawing: the sheets over the board, inline SVG.
        plan: the sheets, their seams and the lines to rule first.
    """

    drawing: str
    plan: SheetSet


def sheet_map(board: ResolvedBoard, face: Face, paper: Paper) -> SheetMap:
    """The sheets of a template of ``face`` on ``paper``.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    plan = plan_sheets(board, face, paper)
    return SheetMap(svg.embed(drawn.sheet_map(board, plan), role="drawing map"), plan)
