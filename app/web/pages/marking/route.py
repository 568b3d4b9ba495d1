"""Marking out an outline with a rule and a square."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from app.web.pages.marking.context import marking_page
from app.web.pages.paper.route import Printed
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View

router = Router()


@router.get("/designs/{design_id}/marking")
def marking(workshop: OpenWorkshop, view: View, print_request: Printed) -> HTMLResponse:
    """What to measure, and tables of offsets, at the spacing and for the rule asked for."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("marking/page.html", marking_page(workshop, sight, view, print_request)))
