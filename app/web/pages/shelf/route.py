"""The shelf: make a new deck, open a file, copy a scenario or a design, rename, take off and put back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from starlette.responses import HTMLResponse, RedirectResponse, Response

from app.errors import DocumentError, EditError, GeometryError
from app.service import NewDeck, Where
from app.service.background.budget import apart
from app.service.edits.changes import title_set
from app.service.edits.outlines import is_drawing, read
from app.service.shelf.documents import wrong_answers
from app.service.shelf.saved_shelf import MEDIA, is_saved_shelf
from app.service.shelf.search import ShelfQuery, matching
from app.service.shelf.starting import board_file
from app.values import replace
from app.web.forms import Form
from app.web.pages.shelf.context import FIELD_WORDS, STICK_WORDS, Renaming
from app.web.pages.shelf.front import shelf_answer
from app.web.pages.shelf.search import shelf_url, wanted_in
from app.web.pages.shelf.taken import taken_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, Sent, see_other, sender_of

router = Router()


@router.post("/designs")
def create(workshop: OpenWorkshop, form: Sent) -> Response:
    """Make a new deck, or show the form again with what is wrong beside each field."""
    spec = _spec(form)
    problems = form.problems | {k: v for k, v in wrong_answers(spec).items() if k not in form.problems}
    if problems:
        return _again(workshop, form, problems)
    try:
        head = workshop.create(spec)
    except EditError as error:
        return _again(workshop, form, {error.field or "form": str(error)})
    return see_other(f"/designs/{head.design.id}")


@router.post("/designs/open")
def open_file(workshop: OpenWorkshop, form: Sent) -> Response:
    """Put a copy of a design file on the shelf, or say what is wrong with it and where.

    Of a saved shelf every design comes, and a page tells which were new. A drawing of a board becomes a new empty
    board, and is sent on to the page that shows its outline: by a redirect that keeps the method and the body
    (RFC 9110, 15.4.8), so that loading that page anew makes no further board.
    """
    data, name = form.files.get("file", b""), form.text("file.name")[:80]
    if not data:
        said = "No file was chosen, or it is empty. Choose a design (.json), a saved shelf (.zip) or a drawing (.dxf)."
        return shelf_answer(workshop.shelf, file_problem=said)
    try:
        if is_saved_shelf(data):
            shown = taken_page(name or "a saved shelf", workshop.open_shelf(data))
            return HTMLResponse(render("shelf/taken.html", shown))
        if is_drawing(data, name):
            head = workshop.open_file(board_file(apart(True, read, data, name)))
            return RedirectResponse(f"/designs/{head.design.id}/outline/look", status_code=307)
        head = workshop.open_file(data)
    except (DocumentError, EditError, GeometryError) as error:
        said = f"“{name or 'The file'}” cannot be opened. {error}"
        return shelf_answer(workshop.shelf, file_problem=said)
    return see_other(f"/designs/{head.design.id}")


@router.get("/shelf.zip")
def save_shelf(workshop: OpenWorkshop) -> Response:
    """Every design of the shelf in one file."""
    disposition = {"Content-Disposition": 'attachment; filename="holewise-shelf.zip"'}
    return Response(workshop.saved().data, media_type=MEDIA, headers=disposition)


@router.post("/designs/scenario")
def open_scenario(workshop: OpenWorkshop, form: Sent) -> Response:
    """Put a copy of a scenario on the shelf."""
    head = workshop.open_scenario(form.text("name"))
    return see_other(f"/designs/{head.design.id}")


@router.post("/designs/{design_id}/duplicate")
def duplicate(design_id: str, workshop: OpenWorkshop) -> Response:
    """Put a copy of a design on the shelf, and open it."""
    return see_other(f"/designs/{workshop.duplicate(design_id).design.id}")


@router.post("/designs/{design_id}/title")
def set_title(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Give a design another title, and show where it stands now."""
    wanted = wanted_in(form.values)
    try:
        head, _ = workshop.edit(design_id, Where(), title_set(form.text("title")), sender_of(form))
    except EditError as error:
        wrong = Renaming(design_id, form.text("title"), str(error))
        return shelf_answer(workshop.shelf, form.values, renaming=wrong)
    if wanted.order == "changed":  # it comes first now
        wanted = replace(wanted, page=1)
    found = bool(matching([head.design], wanted.find, workshop.labels(), wanted.label))
    return see_other(shelf_url(wanted if found else ShelfQuery(), f"design-{design_id}"))


@router.post("/designs/{design_id}/labels")
def set_labels(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Give a design other labels, and show where it stands."""
    wanted, typed = wanted_in(form.values), form.text("labels")
    try:
        workshop.label(design_id, typed.split(","))
    except EditError as error:
        wrong = Renaming(design_id, typed, str(error), "labels")
        return shelf_answer(workshop.shelf, form.values, renaming=wrong)
    return see_other(shelf_url(wanted, f"design-{design_id}"))


@router.post("/designs/{design_id}/remove")
def remove(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Take a design off the shelf; it can be put back."""
    workshop.remove(design_id)
    return see_other(shelf_url(wanted_in(form.values), "put-away"))


@router.post("/designs/{design_id}/put-back")
def put_back(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Put a design back on the shelf."""
    workshop.put_back(design_id)
    return see_other(shelf_url(wanted_in(form.values)))


def _again(workshop: OpenWorkshop, form: Form, problems: Mapping[str, str]) -> Response:
    return shelf_answer(workshop.shelf, values=form.values, problems=problems)


def _spec(form: Form) -> NewDeck:
    players = int(form.one_of("players", "The number of players", ("1", "2", "0")))
    shape = form.one_of("shape", "The button layout", tuple(FIELD_WORDS))
    stick = form.one_of("stick", "The position of the stick", tuple(STICK_WORDS))
    drilling = form.one_of("drilling", "The drilling method", ("hand", "press", "cnc"))
    deep = shape == "arc" and form.text("arc")
    return NewDeck(
        arc=form.length("arc", "The depth of the arc") if deep else 0.0,
        title=form.text("title"),
        players=players,
        buttons=form.whole("buttons", "The number of buttons", 1, 20),
        width=form.length("width", "The board’s width"),
        depth=form.length("depth", "The board’s depth"),
        thickness=form.length("thickness", "The board’s thickness"),
        material=form.text("material"),
        shape=cast("Literal['row', 'straight', 'stepped', 'arc']", shape),
        stick=cast("Literal['left', 'right', 'centre', 'none']", stick),
        units="inch" if form.text("units") == "inch" else "mm",
        drilling=cast("Literal['hand', 'press', 'cnc']", drilling),
    )
