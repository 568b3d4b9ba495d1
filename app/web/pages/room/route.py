"""Making room: look at what would move, take it as one step, or leave it."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.web.budgets import check_words
from app.web.forms import Form
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/room")
def room(workshop: OpenWorkshop, view: View, rigid: str = "", built: str = "") -> HTMLResponse:
    """The smallest shift that clears every stop and caution moving can clear; nothing is changed.

    With ``built`` on the board as it was really drilled.
    """
    from app.service.room.room import room_found
    from app.web.pages.room.context import room_page

    sight = workshop.see(view.design, view.where, view.units)
    found = room_found(sight, view.where, rigid=bool(rigid), real=bool(built))
    return HTMLResponse(render("room/page.html", room_page(sight, view, found, rigid=bool(rigid), real=bool(built))))


@router.post("/designs/{design_id}/room")
def make(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Move the parts as was shown, as one step."""
    from app.service.room.room import room_found, room_made
    from app.web.pages.room.context import room_page

    check_words(form.values)
    view, rigid, real = ViewState.of(design_id, dict(form.values)), form.flag("rigid"), form.flag("built")

    def read(form: Form, view: ViewState) -> DesignChange:
        sight = workshop.look(design_id, view.where, form.unit.value)
        found = room_found(sight, view.where, rigid=rigid, real=real)
        return room_made(view.where, found, sight.design, said=form.text("said"))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(design_id, view.where, view.units)
        found, problem = room_found(sight, view.where, rigid=rigid, real=real), " ".join(problems.values())
        shown = room_page(sight, view, found, rigid=rigid, real=real, problem=problem)
        return HTMLResponse(render("room/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(select=()).url("/built" if real else "", **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="said")
