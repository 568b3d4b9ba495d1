"""An outline from a DXF or SVG file: choose it, look at it, take it."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import HTMLResponse, Response

from app.errors import DocumentError, EditError, GeometryError
from app.service import DesignChange, Edit
from app.service.background.budget import apart
from app.service.edits.outlines import MOST_OPENINGS, outline_taken, read
from app.service.sight import Sight
from app.web.forms import Form
from app.web.htmx import Htmx
from app.web.pages.outline.context import Preview, outline_page, preview_of
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/outline")
def outline(workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """Choose a file."""
    return _page(workshop.look(view.design, view.where, view.units), view, htmx)


@router.post("/designs/{design_id}/outline/look")
def look(design_id: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> HTMLResponse:
    """Read a file and show what it holds, over the board as it is; nothing is kept."""
    view = ViewState.of(design_id, dict(form.values))
    sight = workshop.look(design_id, view.where, view.units)
    name = " ".join(form.text("file.name").split())[:80]
    data = form.files.get("file", b"")
    if not data:
        return _page(sight, view, htmx, problem="No file was chosen, or it is empty. Choose a DXF or SVG file.")
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        said = f"“{name or 'The file'}” is not a drawing; it may be a design. Open designs on the shelf."
        return _page(sight, view, htmx, problem=said)
    try:
        shown = preview_of(sight, apart(True, read, data, name))
    except (DocumentError, GeometryError) as error:
        return _page(sight, view, htmx, problem=f"“{name or 'The file'}” cannot be imported. {error}")
    return _page(sight, view, htmx, shown)


@router.post("/designs/{design_id}/outline/take")
def take(design_id: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Give the board the outline that was looked at."""
    view = ViewState.of(design_id, dict(form.values))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(design_id, view.where, view.units)
        return _page(sight, view, htmx, problem=" ".join(problems.values()))

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(select=()).url(**other_windows)

    return answered(workshop, form, view, _taken, again, onward, beside="file")


def _taken(form: Form, view: ViewState) -> DesignChange:
    chosen = form.text("outline")
    if not chosen:
        said = "The file does not say what unit it uses, and none was chosen. Choose the file again, and its unit."
        raise EditError(said, "file")
    kept = [k for k in range(MOST_OPENINGS + 1) if form.flag(f"opening-{k}")]
    return outline_taken(view.where, chosen, kept, form.text("name"))


def _page(sight: Sight, view: ViewState, htmx: Htmx, preview: Preview | None = None, problem: str = "") -> HTMLResponse:
    shown = outline_page(sight, view, preview, {"file": problem} if problem else {})
    return page("outline/page.html", shown, htmx, block="outline", status=422 if problem else 200)
