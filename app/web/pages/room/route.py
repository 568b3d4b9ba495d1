"""Making room: look at what would move, take it as one step, or leave it."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.web.budgets import check_words
from app.web.forms import Form
from app.web.render import render
from app.web.shared.changing import answered
from app.web.shared.requests import OpenWorkshop, Sent, View
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
    here, rigid = ViewState.of(design_id, dict(form.values)), form.flag("rigid")

    def read(form: Form, here: ViewState) -> DesignChange:
        sight = workshop.look(design_id, here.where, form.unit.value)
        found = room_found(sight, here.where, rigid=rigid)
        return room_made(here.where, found, sight.design, said=form.text("said"))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(design_id, here.where, here.units)
        found, problem = room_found(sight, here.where, rigid=rigid), " ".join(problems.values())
        shown = room_page(sight, here, found, rigid=rigid, problem=problem)
        return HTMLResponse(render("room/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return here.at(select=()).url(**other_windows)

    return answered(workshop, form, here, read, again, onward, beside="said")
