"""Making room: look at what would move, take it as one step, or leave it."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.web.budgets import check_words
from app.web.render import render
from app.web.shared.requests import OpenWorkshop, Sent, View, overtaken, see_other, sender_of
from app.web.shared.view_state import ViewState

router = APIRouter()


@router.get("/designs/{design_id}/room")
def room(workshop: OpenWorkshop, here: View, rigid: str = "") -> HTMLResponse:
    """The smallest shift that clears every stop and caution moving can clear; nothing is changed."""
    from app.service.room.room import room_found
    from app.web.pages.room.context import room_page

    sight = workshop.see(here.design, here.where, here.units)
    found = room_found(sight, here.where, rigid=bool(rigid))
    return HTMLResponse(render("room/page.html", room_page(sight, here, found, rigid=bool(rigid))))


@router.post("/designs/{design_id}/room")
def make(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Move the parts as was shown, as one step."""
    from app.service.room.room import room_found, room_made
    from app.web.pages.room.context import room_page

    check_words(form.values)
    here, rigid, sender = ViewState.of(design_id, dict(form.values)), form.flag("rigid"), sender_of(form)
    sight = workshop.look(design_id, here.where, form.unit.value)
    found = room_found(sight, here.where, rigid=rigid)
    change = room_made(here.where, found, sight.design, said=form.text("said"))
    try:
        head, _ = workshop.edit(design_id, here.where, change, sender)
    except EditError as error:
        sight = workshop.see(design_id, here.where, here.units)
        shown = room_page(sight, here, room_found(sight, here.where, rigid=rigid), rigid=rigid, problem=str(error))
        return HTMLResponse(render("room/page.html", shown), 422)
    return see_other(here.at(select=()).url(**overtaken(workshop, design_id, sender, head)))
