"""Wiring: looked at, and chosen form by form."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import cast

from fastapi import Request
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.numbers import whole
from app.service import DesignChange
from app.service.edits.changes import grid_of, placed, removed
from app.service.edits.wiring import (
    CONNECTIONS,
    MOST_ADDED,
    Connection,
    OwnEncoder,
    apart_set,
    encoder_added,
    encoder_measured,
    pin_fixed,
    pins_freed,
    wiring_set,
)
from app.web.forms import Form
from app.web.pages.wiring.context import wiring_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_MOST_WIRES = 100_000


@router.get("/designs/{design_id}/wiring")
def wiring(request: Request, workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """The underside with its wires, one of them lit up if the address names it."""
    sight = workshop.see(view.design, view.where, view.units)
    lit = whole(request.query_params.get("wire", ""), 1, _MOST_WIRES) or 0
    return page("wiring/page.html", wiring_page(sight, view, lit), htmx, block="wiring")


@router.post("/designs/{design_id}/wiring/{verb}")
def change_wiring(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make one change; a field that cannot be taken is shown again with what is wrong beside it."""
    view = ViewState.of(design_id, dict(form.values))
    read = reader_of(_READERS, verb, " of the wiring")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = wiring_page(sight, view, problems=problems, typed=form.values)
        return page("wiring/page.html", shown, htmx, block="wiring", status=422)

    return answered(workshop, form, view, read, again, lambda _, told: view.url("/wiring", **told), beside="wiring")


def _wiring(form: Form, view: ViewState) -> DesignChange:
    """A number that still shows what was shown is left as it is."""
    changes: dict[str, object] = {
        name: form.text(name) or None
        for name in ("supply", "conductor", "grounds", "ground_colour", "supply_colour", "signal_colour")
        if form.has(name)
    }
    if form.changed("slack"):
        changes["slack"] = form.number("slack", "The slack") if form.text("slack") else None
    for name, words in (("service", "The service length"), ("step", "What lengths are rounded up to")):
        if form.changed(name):
            changes[name] = form.length(name, words) if form.text(name) else None
    return wiring_set(view.where, changes)


def _at(form: Form) -> tuple[float, float] | None:
    """Two measures from the datum edges; None where neither is typed."""
    if not form.text("left") and not form.text("back"):
        return None
    x, y = (
        form.length("left", "The distance from the left edge"),
        form.length("back", "The distance from the front edge"),
    )
    return (x, y)


def _add(form: Form, view: ViewState) -> DesignChange:
    parts = tuple(part for part in form.text("parts").split(",")[: MOST_ADDED + 1] if part)
    return encoder_added(view.where, parts, _at(form), grid_of(form.unit))


def _measure(form: Form, view: ViewState) -> DesignChange:
    own = OwnEncoder(
        name=form.text("name"),
        inputs=form.whole("inputs", "Inputs", 0, 200),
        turnings=form.whole("turnings", "Turning axes", 0, 100),
        grounds=form.whole("ground-pins", "Ground pins", 1, 200),
        supplies=form.whole("supplies", "5 V pins", 0, 200),
        width=form.length("width", "The width"),
        height=form.length("height", "The height"),
        depth=form.length("depth", "The depth"),
        connection=cast("Connection", form.one_of("connection", "Wires end", CONNECTIONS)),
        current=form.number("current", "Its current"),
    )
    return encoder_measured(view.where, own, None, grid_of(form.unit))


def _place(form: Form, view: ViewState) -> DesignChange:
    """Fields that still show what was shown are left exactly as they are."""
    ident = form.text("placement")
    x = form.length(f"x-{ident}", "The distance from the left edge") if form.changed(f"x-{ident}") else None
    y = form.length(f"y-{ident}", "The distance from the front edge") if form.changed(f"y-{ident}") else None
    return placed(view.where, ident, x=x, y=y)


def _fix_pin(form: Form, view: ViewState) -> DesignChange:
    placement, _, tab = form.text("tab").rpartition(":")
    number = whole(tab, 1, 64)
    if not placement or number is None:
        raise EditError("Choose which signal to put on the pin.", "tab")
    pin = form.whole("pin", "The pin", 1, 200)
    return pin_fixed(view.where, placement, number, form.text("encoder"), pin)


def _free_pins(form: Form, view: ViewState) -> DesignChange:
    return pins_freed(view.where, tuple(filter(None, (form.text("placement"),))))


def _apart(form: Form, view: ViewState) -> DesignChange:
    return apart_set(view.where, form.text("placement"), apart=form.text("apart") == "yes")


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "wiring": _wiring,
        "encoder-add": _add,
        "encoder-measure": _measure,
        "place": _place,
        "remove": lambda form, view: removed(view.where, (form.text("placement"),)),
        "pin-fix": _fix_pin,
        "pins-free": _free_pins,
        "apart": _apart,
    }
)
