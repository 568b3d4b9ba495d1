"""The board page, and what follows a part while it is dragged."""

from __future__ import annotations

from starlette.responses import HTMLResponse, PlainTextResponse, Response

from app.errors import EditError
from app.service import Head
from app.service.background.budget import apart, aside
from app.service.checks.long_designs import is_long
from app.service.checks.states import States
from app.service.edits.changes import grid_of, on_board
from app.service.own_bits import Bits
from app.service.sight import sight_of, with_states
from app.web.htmx import Htmx
from app.web.pages.board.context import board_page
from app.web.pages.board.moving import Stage, moving_block
from app.web.pages.board.states import states_block
from app.web.pages.board.ways import ways_of
from app.web.render import page, render
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}")
def board(workshop: OpenWorkshop, view: View, htmx: HtmxRequest, find: str = "") -> HTMLResponse:
    """The board page, or its bench for htmx; with the fix of what ``find`` names worked out."""
    head, bits = workshop.head(view.design), workshop.bench.bits()
    known = workshop.shelf.states(head, bits)
    return apart(is_long(head.revision.document), _board, head, view, htmx, find, bits, known)


def _board(head: Head, view: ViewState, htmx: Htmx, find: str, bits: Bits | None, known: States) -> HTMLResponse:
    """The page of a revision: all it takes is in what it is given, so that it can be made in another process."""
    sight = with_states(sight_of(head, view.where, view.units, bits), known)
    return page("board/page.html", board_page(sight, view, find=find, later=htmx.wants_block), htmx, block="bench")


@router.get("/designs/{design_id}/ways")
def ways(workshop: OpenWorkshop, view: View, of: str = "") -> Response:
    """The report with its ways out; nothing for a page ``of`` another revision than the newest."""
    head, bits = workshop.head(view.design), workshop.bench.bits()
    if of and head.revision.id != of:
        return Response(status_code=204)
    long = is_long(head.revision.document)
    block = apart(True, ways_of, head, view, bits) if long else aside(ways_of, head, view, bits)
    return HTMLResponse(block, headers={"Cache-Control": "no-store"})


@router.get("/designs/{design_id}/states")
def states(workshop: OpenWorkshop, view: View, on: str = "", station: str = "", strip: str = "") -> HTMLResponse:
    """The switch of arrangements, or the strip of boards, with every one judged, for a page that could not wait."""
    sight = workshop.look(view.design, view.where, view.units)
    block = states_block(sight, view, on, station, workshop.shelf.all_states(sight.head), strip=bool(strip))
    return HTMLResponse(render("board/_states.html", block), headers={"Cache-Control": "no-store"})


@router.get("/designs/{design_id}/now")
def now(design_id: str, workshop: OpenWorkshop) -> PlainTextResponse:
    """Id of the revision shown now, for a window that wants to know whether it is behind."""
    return PlainTextResponse(workshop.design(design_id)[0].revision.id, headers={"Cache-Control": "no-store"})


@router.post("/designs/{design_id}/preview")
def preview(design_id: str, workshop: OpenWorkshop, form: Sent) -> HTMLResponse:
    """The pieces that follow the selected parts moved by ``dx, dy`` on the drawing; nothing is kept."""
    view = ViewState.of(design_id, dict(form.values))
    if not view.select:
        raise EditError("Nothing is selected. Choose a part on the board first.")
    dx, dy = form.number("dx", "The shift to the right"), form.number("dy", "The shift to the back")
    form.done()
    grid = 0.0 if form.flag("free") else grid_of(form.unit)
    shift = on_board(view.face, dx, dy)
    before, seen = workshop.preview(view.design, view.where, form.unit.value, view.select, *shift, grid, view.seen)
    held = before.resolved.placed(view.select[0])
    start = (held.x, held.y) if held is not None else (0.0, 0.0)
    stage = Stage(first=form.flag("first"), still=form.flag("still"), row=form.text("row"))
    block = moving_block(seen, view, start, grid, stage)
    return HTMLResponse(render("board/_moving.html", block))
