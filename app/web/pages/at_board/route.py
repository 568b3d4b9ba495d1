"""At the board: one step of the drilling run at a time, and what a builder says of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Annotated, Final

from fastapi import Query
from starlette.responses import HTMLResponse, Response

from app.service import DesignChange, Edit
from app.service.edits.as_built import Said, cuts_marked, mark_cleared
from app.service.edits.changes import beside_fields
from app.service.screens.bench.at_board_seen import first_after, step_is_there
from app.web.forms import Form, FormError
from app.web.pages.at_board.context import at_board_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import OpenWorkshop, Sent, View, see_other
from app.web.shared.view_state import ViewState

router = Router()

_LONGEST: Final = 200  # characters of the name of a step


@router.get("/designs/{design_id}/at-board")
def at_board(
    workshop: OpenWorkshop,
    view: View,
    at: Annotated[str, Query()] = "",
    say: Annotated[str, Query()] = "",
) -> HTMLResponse:
    """The step asked for, else where somebody was last, else the first that is not done."""
    sight = workshop.look(view.design, view.where, view.units)
    asked = at or workshop.places.read(view.design, sight.checked.board, sight.checked.arrangement)
    return HTMLResponse(render("at_board/page.html", at_board_page(sight, view, asked, off=say == "off")))


@router.post("/designs/{design_id}/at-board/{verb}")
def at_board_said(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Go to another step, or say what was done at this one, and look at the step that follows from that."""
    view, code = ViewState.of(design_id, dict(form.values)), form.text("at")[:_LONGEST]
    if verb == "go":
        return see_other(view.at(seen="").url("/at-board", at=_went(workshop, view, form.text("to")[:_LONGEST])))
    read = reader_of(_READERS, verb)

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        shown = at_board_page(sight, view, code, off=verb == "off", problems=problems, typed=form.values)
        return HTMLResponse(render("at_board/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        to = code
        if verb in _ON:
            to = first_after(workshop.look(view.design, view.where, view.units), code, skip=verb == "rest")
        return view.at(seen="").url("/at-board", at=_went(workshop, view, to), **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="at")


def _went(workshop: OpenWorkshop, view: ViewState, to: str) -> str:
    """Note that somebody went to a step, if it is there; gives its name, empty if it is not."""
    sight = workshop.look(view.design, view.where, view.units)
    if not step_is_there(sight, to):
        return ""
    workshop.places.keep(view.design, sight.checked.board, sight.checked.arrangement, to)
    return to


_ON: Final = frozenset({"drilled", "rest"})
"""What is said before one goes on; after the others the builder looks at what came of it."""


def _now() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _marked(form: Form, view: ViewState, said: Said, *, rest: bool = False) -> DesignChange:
    return cuts_marked(view.where, form.text("at")[:_LONGEST], said, rest=rest)


def _off(form: Form, view: ViewState) -> DesignChange:
    """How far off, by two lengths and their ways as the builder sees the face that is up, and the width if measured."""
    across = _shift(form, "across", "side", ("left", "right"), "How far to the side")
    along = _shift(form, "along", "end", ("front", "back"), "How far to the front or back")
    measured = form.length("measured", "The width measured") if form.text("measured") else None
    if across == along == 0.0 and measured is None and not form.problems:
        raise FormError({"across": "Type how far off it is, or how wide. Is it where it should be? Press Drilled."})
    change = _marked(form, view, Said(_now(), (across, along), measured))
    return beside_fields(change, {"off": "across"})


def _shift(form: Form, name: str, way: str, ways: tuple[str, str], words: str) -> float:
    """A length the one way or the other: less than 0 the first [mm]. Which way is never guessed."""
    if not form.text(name):
        return 0.0
    size = form.length(name, words)
    if form.text(way) not in ways and size != 0.0:
        form.problems.setdefault(way, f"Choose {ways[0]} or {ways[1]}.")
        form.values.setdefault(way, "")
        return 0.0
    return (-size if form.text(way) == ways[0] else size) + 0.0


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "drilled": lambda form, view: _marked(form, view, Said(_now())),
        "rest": lambda form, view: _marked(form, view, Said(_now()), rest=True),
        "off": _off,
        "spoilt": lambda form, view: _marked(form, view, Said(_now(), spoilt=True)),
        "clear": lambda form, view: mark_cleared(view.where, form.text("at")[:_LONGEST]),
    }
)
