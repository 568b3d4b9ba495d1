"""Making room: look at what would move, take it as one step, or leave it."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.web.budgets import check_words
from app.web.contexts.here import Here
from app.web.render import render
from app.web.routes.common import Sent, Shop, View, overtaken, see_other, sender_of

router = APIRouter()


@router.get("/designs/{design_id}/room")
def room(shop: Shop, here: View, rigid: str = "") -> HTMLResponse:
    """The smallest shift that clears every stop and caution moving can clear; nothing is changed."""
    from app.service.room import room_found
    from app.web.contexts.room import room_page

    sight = shop.see(here.design, here.where, here.units)
    found = room_found(sight, here.where, rigid=bool(rigid))
    return HTMLResponse(render("pages/room.html", room_page(sight, here, found, rigid=bool(rigid))))


@router.post("/designs/{design_id}/room")
def take(design_id: str, shop: Shop, form: Sent) -> Response:
    """Move the parts as was shown, as one step."""
    from app.service.room import room_found, room_made
    from app.web.contexts.room import room_page

    check_words(form.values)
    here, rigid, sender = Here.of(design_id, dict(form.values)), form.flag("rigid"), sender_of(form)
    sight = shop.look(design_id, here.where, form.unit.value)
    found = room_found(sight, here.where, rigid=rigid)
    change = room_made(here.where, found, sight.design, said=form.text("said"))
    try:
        head, _ = shop.edit(design_id, here.where, change, sender)
    except EditError as error:
        sight = shop.see(design_id, here.where, here.units)
        shown = room_page(sight, here, room_found(sight, here.where, rigid=rigid), rigid=rigid, problem=str(error))
        return HTMLResponse(render("pages/room.html", shown), 422)
    return see_other(here.at(select=()).url(**overtaken(shop, design_id, sender, head)))
