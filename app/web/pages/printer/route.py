"""The printer page: check sheet, doctor, and the corrections that are kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from starlette.responses import HTMLResponse, Response

from app.errors import EditError, LengthError
from app.service.drawings.printers import PrintRequest
from app.service.screens.printer_seen import BarSeen, MeasuredBars, PrinterSeen, keep_correction, printer_seen
from app.service.sight import Sight
from app.web.forms import Form, FormError
from app.web.htmx import Htmx
from app.web.pages.paper.route import Printed
from app.web.pages.printer.context import printer_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View, see_other
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/printer")
def printer(workshop: OpenWorkshop, view: View, print_request: Printed, htmx: HtmxRequest) -> HTMLResponse:
    """The check sheet of a paper, and fields for what it measures."""
    sight = workshop.look(view.design, view.where, view.units)
    return _page(sight, view, printer_seen(workshop, sight, print_request), htmx)


@router.post("/designs/{design_id}/printer/{verb}")
def change(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Say what is wrong with the print, keep a correction, or forget one."""
    view = ViewState.of(design_id, dict(form.values))
    print_request = PrintRequest(paper=form.text("paper"), printer=form.text("printer"))
    if verb == "forget":
        workshop.printers.forget(form.text("whose"), form.text("kept-paper"))
        # The correction that was in force may be the one that is gone.
        return see_other(view.at(select=()).url("/printer", paper=form.text("paper")))
    if verb not in ("diagnose", "keep"):
        raise EditError(f"There is nothing “{verb[:40]}” to do with a printer. Use the buttons on the page.")
    sight = workshop.look(design_id, view.where, view.units)
    seen = printer_seen(workshop, sight, print_request)
    problems: Mapping[str, str] = {}
    try:
        measured = _measured(form, seen.bars)
        if verb == "keep":
            try:
                name = form.text("printer-name")
                paper, printer = keep_correction(workshop, sight, print_request, measured, name)
                return see_other(view.at(select=()).url("/paper", paper=paper, printer=printer))
            except EditError as error:
                problems = error.problems
        seen = printer_seen(workshop, sight, print_request, measured)
    except FormError as error:
        problems = error.problems
    except LengthError as error:
        problems = {"form": str(error)}
    return _page(sight, view, seen, htmx, form, problems)


def _measured(form: Form, bars: Sequence[BarSeen]) -> MeasuredBars:
    """What was typed of the bars, and what was ticked."""
    found = {
        bar.letter: form.length(f"bar-{bar.letter}", f"The length of {bar.letter}")
        for bar in bars
        if form.text(f"bar-{bar.letter}")
    }
    form.done()
    return MeasuredBars(found, form.flag("settings-checked"))


def _page(
    sight: Sight,
    view: ViewState,
    seen: PrinterSeen,
    htmx: Htmx,
    form: Form | None = None,
    problems: Mapping[str, str] | None = None,
) -> HTMLResponse:
    shown = printer_page(sight, view, seen, problems=problems, typed=form.values if form else {})
    return page("printer/page.html", shown, htmx, block="printer", status=422 if problems else 200)
