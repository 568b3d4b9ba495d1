"""The shop page and its forms: bits, method, paper, measured thickness, paint."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.numbers import typed
from app.service import DesignChange
from app.service.edits.changes import beside_fields
from app.service.edits.shop_changes import (
    MOST_LAYERS,
    bit_added,
    bit_removed,
    bits_cleared,
    bits_kept,
    bits_taken,
    settings_set,
    thickness_field,
)
from app.service.screens.shop_seen import carried_bits
from app.web.forms import Form
from app.web.pages.shop.context import shop_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View, overtaken, see_other, sender_of
from app.web.shared.view_state import ViewState

router = Router()

_TICK = "keep-"
"""Before the name of a bit in that of its check box."""


@router.get("/designs/{design_id}/shop")
def shop(workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """The shop page."""
    sight = workshop.see(view.design, view.where, view.units)
    return page(
        "shop/page.html", shop_page(sight, view, carried=carried_bits(workshop, view.design)), htmx, block="shop"
    )


@router.post("/designs/{design_id}/shop/{verb}")
def change_shop(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make one change to the shop; a field that cannot be taken is shown again with what is wrong beside it."""
    view, sender = ViewState.of(design_id, dict(form.values)), sender_of(form)
    if verb == "bits-swap":
        workshop.bench.swap()
        return see_other(view.url("/shop"))
    if verb == "bits-carry":
        head = workshop.carry_bits(design_id, sender)
        return see_other(view.url("/shop", **overtaken(workshop, design_id, sender, head)))
    read = reader_of(_READERS, verb, " of the workshop")
    form.values.setdefault("bit", "")  # what is wrong with a bit has its place on the page, whichever form named it

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = shop_page(
            sight, view, carried=carried_bits(workshop, view.design), problems=problems, typed=form.values
        )
        return page("shop/page.html", shown, htmx, block="shop", status=422)

    return answered(workshop, form, view, read, again, lambda _, told: view.url("/shop", **told))


def _settings(form: Form, view: ViewState) -> DesignChange:
    fields = {layer: thickness_field(layer) for layer in range(MOST_LAYERS)}
    other = form.text("other-paper")
    change = settings_set(
        view.where,
        layers={layer: form.length(name, "The thickness") for layer, name in fields.items() if form.changed(name)},
        drilling=form.text("drilling"),
        paper=other or form.text("paper"),
        paint=form.length("paint", "The paint") if form.changed("paint") else None,
    )
    return beside_fields(change, {"paper": "other-paper" if other else "paper"})


def _add(form: Form, _: ViewState) -> DesignChange:
    return bit_added(
        form.text("kind"),
        form.length("diameter", "The size"),
        form.length("reach", "The reach") if form.text("reach") else None,
    )


def _remove(form: Form, _: ViewState) -> DesignChange:
    return bit_removed(*_named(form.text("bit")))


def _keep(form: Form, _: ViewState) -> DesignChange:
    ticked = [name.removeprefix(_TICK) for name in form.values if name.startswith(_TICK)]
    if not ticked:
        raise EditError("No bit is ticked. Tick the ones you own, then press Keep only these.", "bit")
    return bits_kept([_named(text) for text in ticked])


def _named(text: str) -> tuple[str, float, float]:
    kind, *words = text.split(" ")
    sizes = [size for size in map(typed, words) if size is not None]
    if len(words) != 2 or len(sizes) != 2:
        raise EditError("No bit was named. Use the buttons on the page.")
    return kind, sizes[0], sizes[1]


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "settings": _settings,
        "bit-add": _add,
        "bit-remove": _remove,
        "bits-keep": _keep,
        "bits-clear": lambda *_: bits_cleared,
        "bits-take": lambda form, _: bits_taken(form.text("set")),
    }
)
