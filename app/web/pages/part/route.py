"""The page of a part: looked at, corrected, and parts of the design's own taken out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from starlette.responses import HTMLResponse, Response

from app.service import Basis, DesignChange, Edit
from app.service.edits.hardware import Correction, PartInHand, corrected, part_in_hand, part_removed
from app.service.screens.choices import bases
from app.web.forms import Form
from app.web.pages.part.context import part_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/part/{placement}")
def part(placement: str, workshop: OpenWorkshop, view: View) -> HTMLResponse:
    """The part at a placement, with a field for every measure."""
    sight = workshop.look(view.design, view.where, view.units)
    return HTMLResponse(render("part/page.html", part_page(sight, view, placement)))


@router.post("/designs/{design_id}/part/{placement}")
def save(design_id: str, placement: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Correct the part, in one step; a field that cannot be taken is shown again with what is wrong beside it."""
    view = ViewState.of(design_id, dict(form.values)).at(select=(placement,))

    def read(form: Form, view: ViewState) -> DesignChange:
        if form.has("remove"):
            return part_removed(form.text("remove"))
        sight = workshop.look(design_id, view.where, view.units)
        return corrected(view.where, placement, _typed(form, part_in_hand(sight, view.where, placement)))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(design_id, view.where, view.units)
        shown = part_page(sight, view, placement, problems=problems, typed=form.values)
        return HTMLResponse(render("part/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.url(f"/part/{placement}" if form.has("remove") else "", **other_windows)

    return answered(workshop, form, view, read, again, onward)


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
