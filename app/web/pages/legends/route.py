"""Legends: set, deleted, lettered all at once; and what a plotter cuts of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.service.drawings.plotter_files import CUT_KINDS, plotter_of
from app.service.drawings.sheets_asked import exact_printing
from app.service.edits.legends import legend_deleted, legend_set, legends_deleted, legends_lettered, lettering_set
from app.web.answers import handed_out
from app.web.budgets import cut_path
from app.web.forms import Form
from app.web.pages.legends.context import legends_page
from app.web.pages.paper.route import Printed
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/legends")
def legends(workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """Every part with its legend, one of them in hand."""
    sight = workshop.see(view.design, view.where, view.units)
    return page("legends/page.html", legends_page(sight, view), htmx, block="legends")


@router.post("/designs/{design_id}/legends/{verb}")
def change_legends(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Change legends; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = ViewState.of(design_id, dict(form.values)), reader_of(_READERS, verb, " of legends")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        typed = {**form.values, "verb": verb}
        shown = legends_page(sight, view, problems=problems, typed=typed)
        return page("legends/page.html", shown, htmx, block="legends", status=422)

    def onward(_done: Edit, other_windows: Mapping[str, str]) -> str:
        return view.url("/legends", **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="form")


def _cut_route(kind: str) -> Callable[..., Response]:
    """Hands out what a plotter cuts of a kind of sheets."""

    def cut(workshop: OpenWorkshop, view: View, print_request: Printed) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        made = plotter_of(kind, sight, view.face, exact_printing(workshop, sight, print_request))
        return handed_out(made, {"X-Proof": made.proof.words})

    return cut


for _kind in CUT_KINDS:
    router.get(cut_path(_kind), name=f"{_kind} for a plotter")(_cut_route(_kind))


def _legend(form: Form, view: ViewState) -> DesignChange:
    place = form.text("place", "back")
    free = place == "free"
    return legend_set(
        view.where,
        form.text("placement"),
        text=form.text("text"),
        sign=form.text("sign"),
        height=form.length("height", "The height of letters") if form.text("height") else None,
        place=place,
        at=(form.length("x", "The measure to the right"), form.length("y", "The measure to the back"))
        if free
        else (0.0, 0.0),
        turn=form.number("turn", "The turn") if form.text("turn") else 0.0,
        covered=form.flag("covered"),
    )


def _legend_delete(form: Form, view: ViewState) -> DesignChange:
    return legend_deleted(view.where, form.text("placement"))


def _legends_letter(form: Form, view: ViewState) -> DesignChange:
    return legends_lettered(view.where, form.text("place", "back"))


def _legends_delete(_form: Form, view: ViewState) -> DesignChange:
    return legends_deleted(view.where)


def _lettering(form: Form, view: ViewState) -> DesignChange:
    return lettering_set(
        view.where,
        height=form.length("height", "The height of letters") if form.changed("height") else None,
        colour=form.text("colour") if form.has("colour") else None,
        distance=form.length("distance", "The reading distance") if form.changed("distance") else None,
    )


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "legend": _legend,
        "legend-delete": _legend_delete,
        "legends-letter": _legends_letter,
        "legends-delete": _legends_delete,
        "lettering": _lettering,
    }
)
