"""The shelf: look, make a new deck, open a file, copy a scenario, take off and put back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from app.arrange.new_deck import NewDeck
from app.errors import DocumentError, EditError
from app.service.documents import wrong_answers
from app.service.workshop import scenarios
from app.store import utc_now
from app.web.contexts.shelf import FIELD_WORDS, STICK_WORDS, ShelfPage, shelf_page
from app.web.forms import Form
from app.web.render import render
from app.web.routes.common import Sent, Shop, see_other

router = APIRouter()


@router.get("/")
def shelf(shop: Shop) -> HTMLResponse:
    """The start page."""
    return HTMLResponse(render("pages/shelf.html", _page(shop)))


@router.post("/designs")
def create(shop: Shop, form: Sent) -> Response:
    """Make a new deck, or show the form again with what is wrong beside each field."""
    spec = _spec(form)
    problems = form.problems | {k: v for k, v in wrong_answers(spec).items() if k not in form.problems}
    if problems:
        return _again(shop, form, problems)
    try:
        head = shop.create(spec)
    except EditError as error:
        return _again(shop, form, {error.field or "form": str(error)})
    return see_other(f"/designs/{head.design.id}")


@router.post("/designs/open")
def open_file(shop: Shop, form: Sent) -> Response:
    """Put a copy of a design file on the shelf, or say what is wrong with it and where."""
    data = form.files.get("file", b"")
    if not data:
        said = "No file was chosen, or it is empty. Choose a design file: it ends in .json."
        return HTMLResponse(render("pages/shelf.html", _page(shop, file_problem=said)), 422)
    try:
        head = shop.open_file(data)
    except DocumentError as error:
        name = form.text("file.name")[:80] or "The file"
        said = f"“{name}” cannot be opened. {error}"
        return HTMLResponse(render("pages/shelf.html", _page(shop, file_problem=said)), 422)
    return see_other(f"/designs/{head.design.id}")


@router.post("/designs/scenario")
def open_scenario(shop: Shop, form: Sent) -> Response:
    """Put a copy of a scenario on the shelf."""
    head = shop.open_scenario(form.text("name"))
    return see_other(f"/designs/{head.design.id}")


@router.post("/designs/{design_id}/remove")
def remove(design_id: str, shop: Shop) -> Response:
    """Take a design off the shelf; it can be put back."""
    shop.remove(design_id)
    return see_other("/#put-away")


@router.post("/designs/{design_id}/put-back")
def put_back(design_id: str, shop: Shop) -> Response:
    """Put a design back on the shelf."""
    shop.put_back(design_id)
    return see_other("/")


def _page(shop: Shop, **more: object) -> ShelfPage:
    return shelf_page(shop.shelf(), scenarios(), shop.put_away(), utc_now(), **more)  # type: ignore[arg-type]


def _again(shop: Shop, form: Form, problems: Mapping[str, str]) -> Response:
    return HTMLResponse(render("pages/shelf.html", _page(shop, values=form.values, problems=problems)), 422)


def _spec(form: Form) -> NewDeck:
    players = int(form.one_of("players", "The number of players", ("1", "2", "0")))
    shape = form.one_of("shape", "The shape of the button field", tuple(FIELD_WORDS))
    stick = form.one_of("stick", "The place of the stick", tuple(STICK_WORDS))
    drilling = form.one_of("drilling", "The way of drilling", ("hand", "press", "cnc"))
    return NewDeck(
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
