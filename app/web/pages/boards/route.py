"""The page of all boards of a design, and the small picture of each."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.service.edits.boards import board_added, board_copied, board_moved, board_removed, board_renamed
from app.service.screens.board_list import board_picture
from app.service.sight import revised_of
from app.web.answers import ASK_AGAIN, TO_KEEP, picture
from app.web.assets import code
from app.web.forms import Form
from app.web.pages.boards.context import boards_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()


@router.get("/designs/{design_id}/boards")
def boards(workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """Every board of the design, and how another is added."""
    sight = workshop.see(view.design, view.where, view.units)
    return page("boards/page.html", boards_page(sight, view), htmx, block="boards")


@router.get("/designs/{design_id}/boards/{board_id}.svg")
def board_thumbnail(design_id: str, board_id: str, workshop: OpenWorkshop, mark: str = "", state: str = "") -> Response:
    """A small true drawing of a board; to keep if the address says what is drawn, and this state of the program."""
    head = workshop.head(design_id)
    drawn = board_picture(revised_of(head.revision, workshop.bench.bits()), board_id)
    return picture(drawn, TO_KEEP if mark and state == code() else ASK_AGAIN)


@router.post("/designs/{design_id}/boards/{verb}")
def change_boards(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Change the list of boards; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = ViewState.of(design_id, dict(form.values)), reader_of(_READERS, verb, " of the boards")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = boards_page(sight, view, problems=problems, typed=form.values)
        return page("boards/page.html", shown, htmx, block="boards", status=422)

    def onward(done: Edit, other_windows: Mapping[str, str]) -> str:
        kept = {board.id for board in done.design.boards}
        stays = not done.board or (verb == "board-remove" and (not view.board or view.board in kept))
        there = view if stays else view.at(board=done.board, arrangement="", select=())
        if verb == "board-add":
            return there.url("/outline" if form.flag("outline") else "", **other_windows)
        return there.url("/boards", **other_windows)

    # What is done to the list is about no board in view, which may be the one that goes.
    nowhere = view.at(board="", arrangement="")
    return answered(workshop, form, nowhere, read, again, onward, beside="form")


def _add(form: Form, _: ViewState) -> DesignChange:
    width = form.length("width", "The width") if form.text("width") else None
    depth = form.length("depth", "The depth") if form.text("depth") else None
    return board_added(form.unit, width, depth, form.text("name"))


def _move(form: Form, _: ViewState) -> DesignChange:
    by = -1 if form.one_of("way", "The way", ("up", "down")) == "up" else 1
    return board_moved(form.text("which"), by)


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "board-add": _add,
        "board-copy": lambda form, _: board_copied(form.text("which")),
        "board-rename": lambda form, _: board_renamed(form.text("which"), form.text("board-name")),
        "board-move": _move,
        "board-remove": lambda form, _: board_removed(form.text("which")),
    }
)
