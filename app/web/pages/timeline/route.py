"""The timeline of a design: look at every step, and go back to any moment."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from app.errors import HolewiseError
from app.numbers import whole
from app.service.screens.plans.timeline import timeline_of
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.web.pages.timeline.context import timeline_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View, see_other, still_there
from app.web.shared.view_state import ViewState
from app.web.shared.words import utc_now

router = Router()


@router.get("/designs/{design_id}/timeline")
def timeline(workshop: OpenWorkshop, view: View, htmx: HtmxRequest, before: str = "") -> HTMLResponse:
    """Every step of the design, newest first; with ``before``, those numbered below it."""
    top = whole(before, 1, 999_999_999) or 0
    shown = timeline_page(timeline_of(workshop, view.design), view, utc_now(), top, _sight(workshop, view))
    return page("timeline/page.html", shown, htmx, block="timeline")


def _sight(workshop: Workshop, view: ViewState) -> Sight | None:
    """The design as it is shown; None where it cannot be: the timeline is what helps then."""
    try:
        return workshop.see(view.design, view.where, view.units)
    except HolewiseError:
        return None


@router.post("/designs/{design_id}/timeline")
def go_to(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Show the design as it was at one moment; nothing is lost."""
    view = ViewState.of(design_id, dict(form.values))
    workshop.go_to(design_id, form.text("revision"))
    return see_other(still_there(workshop, view.at(select=())).url("/timeline"))
