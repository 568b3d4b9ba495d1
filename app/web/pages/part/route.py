"""The page of a part: looked at, corrected, and parts of the design's own taken out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.service import Basis
from app.service.edits.hardware import Correction, PartInHand, corrected, part_in_hand, part_removed
from app.service.screens.choices import bases
from app.service.workshop import Workshop
from app.web.forms import Form, FormError
from app.web.pages.part.context import part_page
from app.web.render import render
from app.web.shared.requests import OpenWorkshop, Sent, View, overtaken, see_other, sender_of
from app.web.shared.view_state import ViewState

router = APIRouter()


@router.get("/designs/{design_id}/part/{placement}")
def part(placement: str, workshop: OpenWorkshop, here: View) -> HTMLResponse:
    """The part at a placement, with a field for every measure."""
    sight = workshop.look(here.design, here.where, here.units)
    return HTMLResponse(render("part/page.html", part_page(sight, here, placement)))


@router.post("/designs/{design_id}/part/{placement}")
def save(design_id: str, placement: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Correct the part, in one step; a field that cannot be taken is shown again with what is wrong beside it."""
    here = ViewState.of(design_id, dict(form.values)).at(select=(placement,))
    sender = sender_of(form)
    try:
        if form.has("remove"):
            head, _ = workshop.edit(design_id, here.where, part_removed(form.text("remove")), sender)
            return see_other(here.url(f"/part/{placement}", **overtaken(workshop, design_id, sender, head)))
        sight = workshop.look(design_id, here.where, here.units)
        typed = _typed(form, part_in_hand(sight, here.where, placement))
        form.done()
        head, _ = workshop.edit(design_id, here.where, corrected(here.where, placement, typed), sender)
    except FormError as error:
        return _again(workshop, here, placement, form, error.problems)
    except EditError as error:
        problems = getattr(error, "problems", None) or {error.field: str(error)}
        if not set(problems) <= set(form.values):
            raise
        return _again(workshop, here, placement, form, problems)
    return see_other(here.url(**overtaken(workshop, design_id, sender, head)))


def _typed(form: Form, held: PartInHand) -> Correction:
    """Fields that still show what was shown are left exactly as they are: the screen rounds, the design does not."""
    measures = {m.name: form.length(m.name, m.words) for m in held.measures if form.changed(m.name)}
    return Correction(
        measures=measures,
        name=form.text("name") if form.changed("name") else None,
        basis=cast("Basis", form.one_of("basis", "How far to trust them", bases())) if form.changed("basis") else None,
        source=form.text("source") if form.changed("source") else None,
        everywhere=form.text("scope") != "here",
        unit=form.unit,
    )


def _again(workshop: Workshop, here: ViewState, placement: str, form: Form, problems: Mapping[str, str]) -> Response:
    sight = workshop.look(here.design, here.where, here.units)
    shown = part_page(sight, here, placement, problems=problems, typed=form.values)
    return HTMLResponse(render("part/page.html", shown), 422)
