"""The paper page."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from app.web.contexts.paper import paper_page
from app.web.render import page
from app.web.routes.common import Asked, Shop, View

router = APIRouter()


@router.get("/designs/{design_id}/paper")
def paper_sheets(shop: Shop, here: View, htmx: Asked, paper: str = "") -> HTMLResponse:
    """The sheets of a template over the board, and what to download."""
    sight = shop.look(here.design, here.where, here.units)
    return page("pages/paper.html", paper_page(sight, here, paper.strip().lower()), htmx, block="sheets")
