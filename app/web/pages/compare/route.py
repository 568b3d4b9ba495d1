"""Two designs compared: steps of one, a design and another, a design and a file."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from app.errors import DocumentError, EditError, HolewiseError
from app.service import Design, Workshop
from app.service.drawings.compare_files import StatesAsked, compare_file
from app.service.screens.plans.compare_choice import (
    NOW,
    comparable_design,
    comparable_words,
    design_in_file,
    usual_before,
)
from app.service.screens.plans.compare_seen import compare_seen
from app.web.answers import handed_out
from app.web.forms import Form
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
    """Two states; by default the newest revision, or the step before, and the design as it is now."""
    asked = {"before": before or usual_before(workshop, view.design), "after": after or NOW}
    try:
        pair = _pair(workshop, view, asked)
    except (HolewiseError, DocumentError) as error:
        return _page(workshop, view, asked, None, str(error))
    return _page(workshop, view, asked, pair)


@router.get("/designs/{design_id}/compare.pdf")
def compare_sheet(workshop: OpenWorkshop, view: View, before: str = "", after: str = "", paper: str = "") -> Response:
    """The same as a sheet to print."""
    asked = {"before": before or usual_before(workshop, view.design), "after": after or NOW}
    was, now = (comparable_words(workshop, view.design, asked[side]) for side in ("before", "after"))
    return _sheet(workshop, view, _pair(workshop, view, asked), was, now, paper)


@router.post("/designs/{design_id}/compare")
def compare_file_page(design_id: str, workshop: OpenWorkshop, form: Sent) -> HTMLResponse:
    """A file, as the older state, and the design as it is now; nothing is kept."""
    view = ViewState.of(design_id, dict(form.values))
    name = _file_name(form)
    asked = {"before": "", "after": NOW, "file": name}
    try:
        pair = _with_file(workshop, design_id, form)
    except (DocumentError, EditError) as error:
        return _page(workshop, view, asked, None, f"“{name}” cannot be compared. {error}")
    return _page(workshop, view, asked, pair)


@router.post("/designs/{design_id}/compare.pdf")
def compare_file_sheet(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """The same as a sheet to print."""
    view = ViewState.of(design_id, dict(form.values))
    pair = _with_file(workshop, design_id, form)
    now = comparable_words(workshop, design_id, NOW)
    return _sheet(workshop, view, pair, f"the file “{_file_name(form)}”", now, "")


def _pair(workshop: Workshop, view: ViewState, asked: dict[str, str]) -> tuple[Design, Design]:
    """The two states an address names; raises as :func:`comparable_design`."""
    return (
        comparable_design(workshop, view.design, asked["before"]),
        comparable_design(workshop, view.design, asked["after"]),
    )


def _with_file(workshop: Workshop, design_id: str, form: Form) -> tuple[Design, Design]:
    """A file that was sent, and the design as it is now; raises as :func:`design_in_file`."""
    older = design_in_file(workshop, form.files.get("file", b""))
    return older, comparable_design(workshop, design_id, NOW)


def _file_name(form: Form) -> str:
    return " ".join(form.text("file.name").split())[:_NAME] or "the file"


def _sheet(
    workshop: Workshop, view: ViewState, pair: tuple[Design, Design], was: str, now: str, paper: str
) -> Response:
    sight = workshop.look(view.design, view.where, view.units)
    revision = sight.checked.resolved.revision if pair[1] == sight.design else ""
    return handed_out(compare_file(StatesAsked(*pair, was, now, revision), sight.unit.value, paper))


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
