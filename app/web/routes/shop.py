"""The shop page and its forms: bits, method, paper, measured thickness, paint."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.numbers import typed
from app.service import Change
from app.service.changes import beside_fields
from app.service.shop_changes import (
    MOST_LAYERS,
    bit_added,
    bit_removed,
    bits_cleared,
    bits_kept,
    bits_taken,
    reset_shop,
    thickness_field,
)
from app.service.shop_seen import carried_bits
from app.web.contexts.here import Here
from app.web.contexts.shop import shop_page
from app.web.forms import Form
from app.web.render import page
from app.web.routes.changing import Reader, answered, reader_of
from app.web.routes.common import Asked, Sent, Shop, View, overtaken, see_other, sender_of

router = APIRouter()

_TICK = "keep-"
"""Before the name of a bit in that of its check box."""


@router.get("/designs/{design_id}/shop")
def shop(shop: Shop, here: View, htmx: Asked) -> HTMLResponse:
    """The shop page."""
    sight = shop.see(here.design, here.where, here.units)
    return page("pages/shop.html", shop_page(sight, here, carried=carried_bits(shop, here.design)), htmx, block="shop")


@router.post("/designs/{design_id}/shop/{verb}")
def change_shop(design_id: str, verb: str, shop: Shop, form: Sent, htmx: Asked) -> Response:
    """Make one change to the shop; a field that cannot be taken is shown again with what is wrong beside it."""
    here, sender = Here.of(design_id, dict(form.values)), sender_of(form)
    if verb == "swap-bits":
        shop.bench.swap()
        return see_other(here.url("/shop"))
    if verb == "carry-bits":
        head = shop.carry_bits(design_id, sender)
        return see_other(here.url("/shop", **overtaken(shop, design_id, sender, head)))
    read = reader_of(_READERS, verb, " of a shop")
    form.values.setdefault("bit", "")  # what is wrong with a bit has its place on the page, whichever form named it

    def again(problems: Mapping[str, str]) -> Response:
        sight = shop.see(here.design, here.where, here.units)
        shown = shop_page(sight, here, carried=carried_bits(shop, here.design), problems=problems, typed=form.values)
        return page("pages/shop.html", shown, htmx, block="shop", status=422)

    return answered(shop, form, here, read, again, lambda _, told: here.url("/shop", **told))


def _work(form: Form, here: Here) -> Change:
    fields = {layer: thickness_field(layer) for layer in range(MOST_LAYERS)}
    other = form.text("other-paper")
    change = reset_shop(
        here.where,
        layers={layer: form.length(name, "The thickness") for layer, name in fields.items() if form.changed(name)},
        drilling=form.text("drilling"),
        paper=other or form.text("paper"),
        paint=form.length("paint", "The paint") if form.changed("paint") else None,
    )
    return beside_fields(change, {"paper": "other-paper" if other else "paper"})


def _add(form: Form, _: Here) -> Change:
    return bit_added(
        form.text("kind"),
        form.length("diameter", "The size"),
        form.length("reach", "The reach") if form.text("reach") else None,
    )


def _remove(form: Form, _: Here) -> Change:
    return bit_removed(*_named(form.text("bit")))


def _only(form: Form, _: Here) -> Change:
    ticked = [name.removeprefix(_TICK) for name in form.values if name.startswith(_TICK)]
    if not ticked:
        raise EditError("No bit is ticked. Tick the ones you own, then press Only these.", "bit")
    return bits_kept([_named(text) for text in ticked])


def _named(text: str) -> tuple[str, float, float]:
    kind, *words = text.split(" ")
    sizes = [size for size in map(typed, words) if size is not None]
    if len(words) != 2 or len(sizes) != 2:
        raise EditError("No bit of the shop was named. Use the buttons on the page.")
    return kind, sizes[0], sizes[1]


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "work": _work,
        "add-bit": _add,
        "remove-bit": _remove,
        "keep-bits": _only,
        "clear-bits": lambda *_: bits_cleared,
        "take-bits": lambda form, _: bits_taken(form.text("set")),
    }
)
