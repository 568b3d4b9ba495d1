"""The printer page: check sheet, doctor, and the corrections that are kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from starlette.responses import HTMLResponse, Response

from app.errors import EditError, LengthError
from app.model.printing import Printing
from app.paper.check.doctor import Diagnosis
from app.service.drawings.printers import PrintRequest, bars_of, diagnosed, kept_as
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.units import Unit
from app.web.forms import Form, FormError
from app.web.htmx import Htmx
from app.web.pages.paper.route import Printed, printing_of
from app.web.pages.printer.context import printer_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View, see_other
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/printer")
def printer(workshop: OpenWorkshop, here: View, print_request: Printed, htmx: HtmxRequest) -> HTMLResponse:
    """The check sheet of a paper, and fields for what it measures."""
    sight = workshop.look(here.design, here.where, here.units)
    return _page(workshop, sight, here, _plain(workshop, sight, print_request), htmx)


@router.post("/designs/{design_id}/printer/{verb}")
def change(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Say what is wrong with the print, keep a correction, or forget one."""
    here = ViewState.of(design_id, dict(form.values))
    print_request = PrintRequest(paper=form.text("paper"), printer=form.text("printer"))
    if verb == "forget":
        workshop.printers.drop(form.text("whose"), form.text("kept-paper"))
        # The correction that was in force may be the one that is gone.
        return see_other(here.at(select=()).url("/printer", paper=form.text("paper")))
    if verb not in ("measure", "keep"):
        raise EditError(f"There is nothing “{verb[:40]}” to do with a printer. Use the buttons on the page.")
    sight = workshop.look(design_id, here.where, here.units)
    printing = _plain(workshop, sight, print_request)
    unit = Unit(sight.checked.resolved.units)
    try:
        measured = _measured(form, printing, unit)
        found = diagnosed(
            printing, measured, sight.checked.resolved, unit, settings_checked=form.flag("settings-checked")
        )
    except FormError as error:
        return _page(workshop, sight, here, printing, htmx, form, error.problems)
    except LengthError as error:
        return _page(workshop, sight, here, printing, htmx, form, {"form": str(error)})
    if verb == "measure":
        return _page(workshop, sight, here, printing, htmx, form, {}, found)
    if found.correction is None:
        said = "No correction is offered for what was measured. Read what the doctor says first."
        return _page(workshop, sight, here, printing, htmx, form, {"printer-name": said}, found)
    try:
        name = kept_as(workshop.printers, form.text("printer-name"), printing, found.correction, measured)
    except EditError as error:
        return _page(workshop, sight, here, printing, htmx, form, {error.field: str(error)}, found)
    return see_other(here.at(select=()).url("/paper", paper=printing.paper.id, printer=name))


def _plain(workshop: Workshop, sight: Sight, print_request: PrintRequest) -> Printing:
    """Paper and correction; margins and overlap are the template's."""
    return printing_of(workshop, sight, replace(print_request, margin="", overlap="", only=""))


def _measured(form: Form, printing: Printing, unit: Unit) -> Mapping[str, float]:
    """Length of each bar that was typed [mm]."""
    found = {
        bar.name: form.length(f"bar-{bar.name}", f"The length of {bar.name}")
        for bar in bars_of(printing, unit)
        if form.text(f"bar-{bar.name}")
    }
    form.done()
    return found


def _page(
    workshop: Workshop,
    sight: Sight,
    here: ViewState,
    printing: Printing,
    htmx: Htmx,
    form: Form | None = None,
    problems: Mapping[str, str] | None = None,
    found: Diagnosis | None = None,
) -> HTMLResponse:
    bars = bars_of(printing, Unit(sight.checked.resolved.units))
    shown = printer_page(
        sight, here, printing, bars, workshop.printers.all(),
        diagnosis=found, problems=problems, typed=form.values if form else {},
    )  # fmt: skip
    return page("printer/page.html", shown, htmx, block="printer", status=422 if problems else 200)
