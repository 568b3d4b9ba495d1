"""The timeline of a design: look at every step, and go back to any moment."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.numbers import whole
from app.service.timeline import timeline_of
from app.web.contexts.here import Here
from app.web.contexts.timeline import timeline_page
from app.web.contexts.words import utc_now
from app.web.render import page
from app.web.routes.common import Asked, Sent, Shop, View, see_other, still_there

router = APIRouter()


@router.get("/designs/{design_id}/timeline")
def timeline(shop: Shop, here: View, htmx: Asked, before: str = "") -> HTMLResponse:
    """Every step of the design, newest first; with ``before``, those numbered below it."""
    top = whole(before, 1, 999_999_999) or 0
    shown = timeline_page(timeline_of(shop, here.design), here, utc_now(), top)
    return page("pages/timeline.html", shown, htmx, block="timeline")


@router.post("/designs/{design_id}/timeline")
def go_to(design_id: str, shop: Shop, form: Sent) -> Response:
    """Show the design as it was at one moment; nothing is lost."""
    here = Here.of(design_id, dict(form.values))
    shop.go_to(design_id, form.text("revision"))
    return see_other(still_there(shop, here.at(select=())).url("/timeline"))
