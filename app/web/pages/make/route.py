"""Making a board of a few measures, or cut-outs on one; and changing what was made as what it is."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import Request
from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.service.edits.makers import maker_removed
from app.service.screens.make_asked import new_making, old_making, put_on
from app.service.screens.make_seen import maker_picture
from app.web.answers import ASK_AGAIN, TO_KEEP, picture
from app.web.assets import code
from app.web.forms import Form
from app.web.pages.make.context import made_page, make_page, makers_page
from app.web.render import page, render
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_LONGEST = 60
"""Characters of a measure that are read."""


@router.get("/designs/{design_id}/make")
def makers(workshop: OpenWorkshop, view: View) -> HTMLResponse:
    """What can be made of a few measures, to choose from."""
    sight = workshop.look(view.design, view.where, view.units)
    return HTMLResponse(render("make/makers.html", makers_page(sight, view)))


@router.get("/designs/{design_id}/make/{maker}.svg")
def maker_thumbnail(design_id: str, maker: str, workshop: OpenWorkshop, state: str = "") -> Response:
    """What a maker makes where nobody says otherwise, small; to keep if the address names this state of the program."""
    drawn = maker_picture(workshop.design(design_id)[1], maker)
    return picture(drawn, TO_KEEP if state == code() else ASK_AGAIN)


@router.get("/designs/{design_id}/make/{maker}")
def make(request: Request, maker: str, workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """A maker with its measures as they stand in the address, and what comes of them."""
    sight = workshop.look(view.design, view.where, view.units)
    return page("make/page.html", make_page(sight, view, maker, _typed(request.query_params)), htmx, block="making")


@router.post("/designs/{design_id}/make/{maker}")
def make_it(design_id: str, maker: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make the board, or put it on the board that is chosen."""
    view, typed = ViewState.of(design_id, dict(form.values)), _typed(form.values)

    def read(form: Form, _: ViewState) -> DesignChange:
        return new_making(workshop.design(design_id)[1], maker, typed, put, form.unit).checked()

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        shown = make_page(sight, view, maker, typed, problems)
        return page("make/page.html", shown, htmx, block="making", status=422)

    def onward(done: Edit, other_windows: Mapping[str, str]) -> str:
        return here.at(board=done.board or here.board, select=done.several).url(**other_windows)

    put = put_on(workshop.design(design_id)[1], form.text("on"), view.where)
    here = view.at(board=form.text("on"), arrangement=(put.arrangement or "") if put else "")
    return answered(workshop, form, here, read, again, onward, beside="form")


@router.get("/designs/{design_id}/made/{maker_id}")
def made(request: Request, maker_id: str, workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """What a maker made, with its measures to be changed."""
    sight = workshop.look(view.design, view.where, view.units)
    return page("make/page.html", made_page(sight, view, maker_id, _typed(request.query_params)), htmx, block="making")


@router.post("/designs/{design_id}/made/{maker_id}")
def change_made(design_id: str, maker_id: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make it anew of other measures, or delete it with what it made."""
    view, typed = ViewState.of(design_id, dict(form.values)), _typed(form.values)

    def read(form: Form, view: ViewState) -> DesignChange:
        if form.has("remove"):
            return maker_removed(view.where, maker_id)
        return old_making(workshop.design(design_id)[1], view.where, maker_id, typed, form.unit).checked()

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        shown = made_page(sight, view, maker_id, typed, problems)
        return page("make/page.html", shown, htmx, block="making", status=422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(select=()).url(**other_windows)

    return answered(workshop, form, view, read, again, onward, beside="form")


def _typed(values: Mapping[str, str]) -> dict[str, str]:
    return {name: text.strip()[:_LONGEST] for name, text in values.items()}
