"""The bench: what has to be marked, drilled and bought for a board, to read on a phone and to print."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from app.web.pages.bench.context import bench_page, list_page
from app.web.pages.paper.route import Printed
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View

router = Router()


@router.get("/designs/{design_id}/bench")
def bench(workshop: OpenWorkshop, view: View) -> HTMLResponse:
    """A card for each list, with what it holds."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("bench/page.html", bench_page(sight, view)))


@router.get("/designs/{design_id}/bench/{kind}")
def bench_list(kind: str, workshop: OpenWorkshop, view: View, print_request: Printed) -> HTMLResponse:
    """One list as tables."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("bench/list.html", list_page(workshop, sight, view, kind, print_request)))
