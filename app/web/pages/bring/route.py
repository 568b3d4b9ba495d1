"""Bring boards, arrangements and cut-outs of a design to others: choose, try, and do it where it passes."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from app.errors import EditError, NotFoundError
from app.service import Workshop
from app.service.family.family import TriedDesign
from app.service.family.offered import offers_of
from app.service.sight import Sight
from app.values import replace
from app.web.pages.bring.asked import Asking, BringAsked, asked_by
from app.web.pages.bring.context import bring_page, bring_url
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, Sent, View, see_other, sender_of
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/bring")
def bring(workshop: OpenWorkshop, view: View, asked: Asking) -> HTMLResponse:
    """What can be brought and to which designs; what is chosen tried on them, if the address says so."""
    tried, problems = tuple[TriedDesign, ...](), dict[str, str]()
    sight = workshop.look(view.design, view.where, view.units)
    if asked.trying:
        try:
            source = workshop.family.source(view.design, sight.revision)
            tried = workshop.family.tried(source, asked.wanted(), asked.ways, asked.into)
        except EditError as error:
            problems = {error.field or "what": str(error)}
        except NotFoundError as error:
            problems = {"what": str(error)}
    return _page(workshop, sight, view, asked, tried, problems)


@router.post("/designs/{design_id}/bring")
def bring_now(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Bring it to the designs that are ticked, each as it was tried."""
    view = ViewState.of(design_id, dict(form.values))
    asked, revisions = asked_by(form)
    try:
        source = workshop.family.source(design_id, form.text("seen"))
        found = workshop.family.bring(source, asked.wanted(), asked.ways, revisions, sender_of(form))
    except (EditError, NotFoundError) as error:
        field = error.field if isinstance(error, EditError) and error.field else "what"
        sight = workshop.look(design_id, view.where, view.units)
        return _page(workshop, sight, view, replace(asked, trying=False), (), {field: str(error)})
    by = {how: tuple(each.id for each in found if each.how == how) for how in ("done", "moved", "refused")}
    return see_other(bring_url(view.at(seen=""), asked.after(by["done"], by["moved"], by["refused"])))


def _page(
    workshop: Workshop,
    sight: Sight,
    view: ViewState,
    asked: BringAsked,
    tried: tuple[TriedDesign, ...],
    problems: dict[str, str],
) -> HTMLResponse:
    targets = workshop.family.targets(view.design, asked.find, asked.label, asked.into)
    titles = workshop.revisions.titles() if asked.done or asked.moved or asked.refused else {}
    shown = bring_page(sight, view, asked, offers_of(sight.design), targets, tried, titles, problems)
    return HTMLResponse(render("bring/page.html", shown), 422 if problems else 200)
