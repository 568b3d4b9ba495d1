"""The stations page: lay a player's parts out by parameters, see it at once, compare arrangements."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.service.changes import Change
from app.service.drawings import shared_svg
from app.service.players import player_added
from app.service.stations import LENGTHS, called_back, common_holes, restationed, station_removed
from app.web.answers import picture
from app.web.contexts.here import Here
from app.web.contexts.stations import stations_page
from app.web.forms import Form, FormError
from app.web.render import page
from app.web.routes.common import Asked, Sent, Shop, View, overtaken, see_other, sender_of

router = APIRouter()


@router.get("/designs/{design_id}/stations")
def stations(shop: Shop, here: View, htmx: Asked, station: str = "", scope: str = "") -> HTMLResponse:
    """The stations of an arrangement, one in hand; ``scope`` says where the next change of it counts."""
    sight = shop.see(here.design, here.where, here.units)
    shown = stations_page(sight, here, station, typed={"scope": scope})
    return page("pages/stations.html", shown, htmx, block="stations")


@router.post("/designs/{design_id}/stations/{verb}")
def change_station(design_id: str, verb: str, shop: Shop, form: Sent, htmx: Asked) -> Response:
    """Change a station; a field that cannot be taken is shown again with what is wrong beside it."""
    here, station = Here.of(design_id, dict(form.values)), form.text("station")
    sender = sender_of(form)
    try:
        change = _change(verb, form, here, station)
        form.done()
        head, done = shop.edit(design_id, here.where, change, sender)
    except FormError as error:
        return _again(shop, here, htmx, form, error.problems)
    except EditError as error:
        return _again(shop, here, htmx, form, {error.field if error.field in form.values else "form": str(error)})
    told = overtaken(shop, design_id, sender, head)
    if verb == "add":
        here, station = _added(done.design, here, beside=form.flag("beside"))
    scope = "here" if verb == "lay-out" and form.text("scope") == "here" else ""
    return see_other(here.url("/stations", station="" if verb == "remove" else station, scope=scope, **told))


def _added(design: Design, here: Here, *, beside: bool) -> tuple[Here, str]:
    """The view of the player that was added last, in the arrangement made for it if it got one."""
    board = find_board(design, here.where.board)
    within = board.arrangements[-1] if beside else find_arrangement(board, here.where.arrangement)
    return here.at(arrangement=within.id) if beside else here, within.stations[-1].id


@router.get("/designs/{design_id}/arrangement.svg")
def arrangement(shop: Shop, here: View) -> Response:
    """An arrangement small, with its letters and a ring round the holes it shares with the board's others."""
    sight = shop.look(here.design, here.where, here.units)
    shared = common_holes(find_board(sight.design, here.where.board))[sight.checked.arrangement]
    drawing = shared_svg(sight.checked.resolved, shared)
    return picture(drawing)


def _change(verb: str, form: Form, here: Here, station: str) -> Change:
    if verb == "lay-out":
        everywhere = form.text("scope") != "here"
        return restationed(here.where, station, _asked(form), everywhere=everywhere)
    if verb == "call-back":
        return called_back(here.where, station)
    if verb == "remove":
        return station_removed(here.where, station, everywhere=form.text("scope") == "all")
    if verb == "add":
        mirrored = form.one_of("sit", "The new player’s handedness", ("alike", "mirrored")) == "mirrored"
        return player_added(here.where, mirrored=mirrored, beside=form.flag("beside"))
    raise NotFoundError(f"There is no edit “{verb[:40]}” of a station. Go back and use the buttons on the page.")


def _asked(form: Form) -> Mapping[str, Any]:
    """What was typed; a field that still shows what was shown stays exactly as it is."""
    asked: dict[str, Any] = {n: form.length(n, f"The {words}") for n, words in LENGTHS.items() if form.changed(n)}
    if form.changed("tilt"):
        asked["tilt"] = form.number("tilt", "The tilt")
    for name, words, least in (("buttons", "The number of buttons", 0), ("rows", "The number of rows", 1)):
        if form.changed(name):
            asked[name] = form.whole(name, words, least, 40)
    asked |= {n: form.text(n) for n in ("shape", "stick", "button_part", "stick_part") if form.changed(n)}
    if form.has("mirrored.was") and form.flag("mirrored") != form.flag("mirrored.was"):
        asked["mirrored"] = form.flag("mirrored")
    return asked


def _again(shop: Shop, here: Here, htmx: Asked, form: Form, problems: Mapping[str, str]) -> Response:
    sight = shop.see(here.design, here.where, here.units)
    shown = stations_page(sight, here, form.text("station"), problems=problems, typed=form.values)
    return page("pages/stations.html", shown, htmx, block="stations", status=422)
