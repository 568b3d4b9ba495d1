"""The stations page: lay a player's parts out by parameters, see it at once, compare arrangements."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.service.edits.players import newest_station, station_added
from app.service.edits.stations import LENGTHS, shared_svg, station_laid_out, station_removed, station_reset
from app.web.answers import picture
from app.web.forms import Form
from app.web.pages.stations.context import stations_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/stations")
def stations(workshop: OpenWorkshop, view: View, htmx: HtmxRequest, station: str = "", scope: str = "") -> HTMLResponse:
    """The stations of an arrangement, one in hand; ``scope`` says where the next change of it counts."""
    sight = workshop.see(view.design, view.where, view.units)
    shown = stations_page(sight, view, station, typed={"scope": scope})
    return page("stations/page.html", shown, htmx, block="stations")


@router.post("/designs/{design_id}/stations/{verb}")
def change_station(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Change a station; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = ViewState.of(design_id, dict(form.values)), reader_of(_READERS, verb, " of a station")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = stations_page(sight, view, form.text("station"), problems=problems, typed=form.values)
        return page("stations/page.html", shown, htmx, block="stations", status=422)

    def onward(done: Edit, other_windows: Mapping[str, str]) -> str:
        scope = "here" if verb == "station-lay-out" and form.text("scope") == "here" else ""
        if verb == "station-add":
            there, station = newest_station(done, view.where, beside=form.flag("beside"))
            return view.at(arrangement=there or view.arrangement).url("/stations", station=station, **other_windows)
        return view.url(
            "/stations", station="" if verb == "station-remove" else form.text("station"), scope=scope, **other_windows
        )

    return answered(workshop, form, view, read, again, onward, beside="form")


@router.get("/designs/{design_id}/arrangement.svg")
def arrangement(workshop: OpenWorkshop, view: View) -> Response:
    """An arrangement small, with its letters and a ring round the holes it shares with the board's others."""
    sight = workshop.look(view.design, view.where, view.units)
    return picture(shared_svg(sight))


def _lay_out(form: Form, view: ViewState) -> DesignChange:
    everywhere = form.text("scope") != "here"
    return station_laid_out(view.where, form.text("station"), _asked(form), everywhere=everywhere)


def _reset(form: Form, view: ViewState) -> DesignChange:
    return station_reset(view.where, form.text("station"))


def _remove(form: Form, view: ViewState) -> DesignChange:
    return station_removed(view.where, form.text("station"), everywhere=form.text("scope") == "all")


def _add(form: Form, view: ViewState) -> DesignChange:
    mirrored = form.one_of("sit", "The new player’s handedness", ("alike", "mirrored")) == "mirrored"
    return station_added(view.where, mirrored=mirrored, beside=form.flag("beside"))


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


_READERS: Mapping[str, Reader] = MappingProxyType(
    {"station-lay-out": _lay_out, "station-reset": _reset, "station-remove": _remove, "station-add": _add}
)
