"""What was checked: a page of its own, or its list alone for the board page."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from app.web.pages.judged.context import judged_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, View

router = Router()


@router.get("/designs/{design_id}/judged")
def judged(workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """How many pairs of what were judged and the tightest of each; for htmx only the list, under the title it has."""
    shown = judged_page(workshop.see(view.design, view.where, view.units), view)
    alone = htmx.wants_block and htmx.target == "judged"
    answer = render("judged/page.html", shown, "judged" if alone else "")
    return HTMLResponse(answer, headers={"Vary": "HX-Request, HX-Target"})
