"""Two designs compared: steps of one, a design and another, a design and a file."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from app.errors import DocumentError, EditError, HolewiseError
from app.service import Design, Workshop
from app.service.screens.plans.compare_choice import NOW, comparable_design, design_in_file, step_before
from app.service.screens.plans.compare_seen import compare_seen
from app.web.pages.compare.context import compare_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState
from app.web.shared.words import utc_now

router = Router()

_NAME = 80  # characters of a file's name that are shown


@router.get("/designs/{design_id}/compare")
def compare(workshop: OpenWorkshop, view: View, before: str = "", after: str = "") -> HTMLResponse:
    """Two states; by default the step before the one that is shown, and that one."""
    asked = {"before": before or step_before(workshop, view.design), "after": after or NOW}
    try:
        pair = [comparable_design(workshop, view.design, asked[side]) for side in ("before", "after")]
    except (HolewiseError, DocumentError) as error:
        return _page(workshop, view, asked, None, str(error))
    return _page(workshop, view, asked, (pair[0], pair[1]))


@router.post("/designs/{design_id}/compare")
def compare_file(design_id: str, workshop: OpenWorkshop, form: Sent) -> HTMLResponse:
    """A file, as the older state, and the design as it is now; nothing is kept."""
    view = ViewState.of(design_id, dict(form.values))
    name = " ".join(form.text("file.name").split())[:_NAME] or "the file"
    asked = {"before": "", "after": NOW, "file": name}
    try:
        older = design_in_file(workshop, form.files.get("file", b""))
        pair = older, comparable_design(workshop, design_id, NOW)
    except (DocumentError, EditError) as error:
        return _page(workshop, view, asked, None, f"“{name}” cannot be compared. {error}")
    return _page(workshop, view, asked, pair)


def _page(
    workshop: Workshop, view: ViewState, asked: dict[str, str], pair: tuple[Design, Design] | None, problem: str = ""
) -> HTMLResponse:
    sight, seen = workshop.look(view.design, view.where, view.units), None
    if pair is not None:
        try:
            seen = compare_seen(*pair, sight.unit.value)
        except (EditError, DocumentError) as error:
            problem = str(error)
    shown = compare_page(workshop, sight, view, asked, seen, utc_now(), problem)
    return HTMLResponse(render("compare/page.html", shown), 422 if problem else 200)
