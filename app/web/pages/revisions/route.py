"""Revisions: publish a design, look at what was published, and find a sheet by its code."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.service import Workshop
from app.service.drawings.board_files import design_file
from app.service.screens.plans.revisions_seen import code_found, revisions_seen
from app.web.answers import handed_out
from app.web.pages.revisions.context import revisions_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, Sent, View, overtaken, see_other, sender_of
from app.web.shared.view_state import ViewState
from app.web.shared.words import utc_now

router = Router()

_CODE = 12  # characters of a code that are read


@router.get("/designs/{design_id}/revisions")
def revisions(workshop: OpenWorkshop, view: View, code: str = "") -> HTMLResponse:
    """Every published revision, the next one, and what bears a check code if one is typed."""
    return _page(workshop, view, code=" ".join(code.split())[:_CODE])


@router.post("/designs/{design_id}/revisions/publish")
def publish(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Publish the design as it is now."""
    view, sender = ViewState.of(design_id, dict(form.values)), sender_of(form)
    changes = form.values.get("changes", "").splitlines()
    try:
        head, _ = workshop.revisions.publish(design_id, form.text("note"), changes, f"{utc_now():%Y-%m-%d}", sender)
    except EditError as error:
        return _page(workshop, view, typed=form.values, problems=error.problems)
    return see_other(view.url("/revisions", **overtaken(workshop, design_id, sender, head)))


@router.get("/designs/{design_id}/revision.json")
def revision_json(design_id: str, workshop: OpenWorkshop, letter: str = "") -> Response:
    """The design as it was published, as a file."""
    return handed_out(design_file(workshop.revisions.written(design_id, letter[:_CODE])))


def _page(
    workshop: Workshop,
    view: ViewState,
    *,
    typed: Mapping[str, str] | None = None,
    problems: Mapping[str, str] | None = None,
    code: str = "",
) -> HTMLResponse:
    sight = workshop.look(view.design, view.where, view.units)
    found = code_found(workshop, code) if code else ()
    shown = revisions_page(
        sight, revisions_seen(workshop, view.design), view,
        typed=typed, problems=problems, code=code, found=found, now=utc_now(),
    )  # fmt: skip
    return HTMLResponse(render("revisions/page.html", shown), 422 if problems else 200)
