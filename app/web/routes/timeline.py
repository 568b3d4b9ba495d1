"""The timeline of a design: look at every step, and go back to any moment."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.numbers import whole
from app.service.drawings import thumbnail_svg
from app.service.workshop import shown_in
from app.store import utc_now
from app.web.contexts.here import Here
from app.web.contexts.timeline import timeline_page
from app.web.render import page
from app.web.routes.common import Asked, Sent, Shop, View, see_other

router = APIRouter()

# The address names a revision, whose content never changes.
_FOREVER = {"Cache-Control": "private, max-age=31536000, immutable"}


@router.get("/designs/{design_id}/timeline")
def timeline(shop: Shop, here: View, htmx: Asked, before: str = "") -> HTMLResponse:
    """Every step of the design, newest first; with ``before``, those numbered below it."""
    head, _ = shop.design(here.design)
    top = whole(before, 1, 999_999_999) or 0
    shown = timeline_page(head, shop.moments(here.design), here, utc_now(), top)
    return page("pages/timeline.html", shown, htmx, block="timeline")


@router.post("/designs/{design_id}/timeline")
def go_to(design_id: str, shop: Shop, form: Sent) -> Response:
    """Show the design as it was at one moment; nothing is lost."""
    here = Here.of(design_id, dict(form.values))
    shop.go_to(design_id, form.text("revision"))
    return see_other(here.at(select=()).url("/timeline"))


@router.get("/designs/{design_id}/moment.svg")
def moment(design_id: str, shop: Shop, revision: str) -> Response:
    """A small true drawing of the deck as it was at one moment."""
    drawing = thumbnail_svg(shown_in(shop.moment(design_id, revision)))
    return Response(drawing, media_type="image/svg+xml", headers=_FOREVER)
