"""The fit report of a whole design."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from app.web.pages.report.context import report_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View

router = Router()


@router.get("/designs/{design_id}/report")
def report(workshop: OpenWorkshop, view: View) -> HTMLResponse:
    """What is open in every arrangement of every board."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("report/page.html", report_page(sight, view)))
