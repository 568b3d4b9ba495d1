"""The pages that say how an outline is marked out."""

from __future__ import annotations

from app.drafting.words import unit_of
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.lists.list_pages import ListPages
from app.paper.outline.marking_blocks import marking_blocks
from app.paper.sheet.title_strip import CAUTIONS
from app.shop.outline_marks import OutlineMarks


def marking_pages(board: ResolvedBoard, printing: Printing, marks: OutlineMarks, code: str) -> ListPages:
    """The pages, each set when it is asked for.

    Args:
        board: the board.
        printing: how they are printed.
        marks: what has to be marked out.
        code: check code of the true-size sheets that belong to them.
    """
    return ListPages(
        board,
        printing,
        "Mark out the outline",
        "marking",
        lambda left, width, room: marking_blocks(board, marks, left, width, room, unit_of(board)),
        belongs=f"belongs to sheets with code {code}",
        foot=(*CAUTIONS, "Print at actual size; the measures here are to be read, not to be laid on."),
    )
