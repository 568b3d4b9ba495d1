"""The fit report with its ways out, asked for once the board is there."""

from __future__ import annotations

from msgspec import Struct

from app.service import Head
from app.service.own_bits import Bits
from app.service.screens.board.report_seen import shares_holes
from app.service.sight import sight_of
from app.web.render import render
from app.web.shared.report import ReportBlock, report_block
from app.web.shared.view_state import ViewState


class WaysBlock(Struct, frozen=True):
    """The report that takes the place of the one on the page.

    Args:
        view: the view.
        unit: of the screen.
        report: with its ways out.
    """

    view: ViewState
    unit: str
    report: ReportBlock


def ways_of(head: Head, view: ViewState, bits: Bits | None) -> str:
    """The block of a revision, as HTML: all it takes is in what it is given, so another process can make it."""
    sight = sight_of(head, view.where, view.units, bits)
    board = sight.checked.resolved
    view = view.at(select=tuple(s for s in view.select if board.placed(s) is not None)).showing(head.revision.id)
    report = report_block(sight.checked, view, shared=shares_holes(sight))
    return render("board/_ways.html", WaysBlock(view, board.units, report))
