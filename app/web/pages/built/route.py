"""As built: every cut, to be ticked and typed as it was measured, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Annotated, Final

from fastapi import Query
from starlette.responses import HTMLResponse, Response

from app.errors import EditError, PhotoError
from app.numbers import whole
from app.service import DesignChange, Edit
from app.service.background.budget import apart
from app.service.edits.as_built import mark_cleared
from app.service.edits.built_distances import WAYS
from app.service.edits.built_photo import holes_taken
from app.service.edits.built_typing import cuts_typed, rest_ticked
from app.service.photo import measured_in
from app.service.photo_told import told_of
from app.web.forms import Form
from app.web.pages.built.context import built_page, listed_of
from app.web.pages.built.photo import asked_for, chosen_holes, photo_form, photo_page
from app.web.pages.built.reading import typed_rows
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_LONGEST: Final = 200  # characters of a name in a form
_MOST_PAGES: Final = 1000


@router.get("/designs/{design_id}/built")
def built(
    workshop: OpenWorkshop,
    view: View,
    show: Annotated[str, Query()] = "",
    part: Annotated[str, Query()] = "",
    leaf: Annotated[str, Query()] = "",
) -> HTMLResponse:
    """Every cut of the board in view, a page of them at a time."""
    sight = workshop.look(view.design, view.where, view.units)
    listed = listed_of(show, part, whole(leaf, 1, _MOST_PAGES) or 1)
    return HTMLResponse(render("built/page.html", built_page(sight, view, listed)))


@router.post("/designs/{design_id}/built/photo")
def photo(design_id: str, workshop: OpenWorkshop, form: Sent) -> HTMLResponse:
    """Measure by a photograph, and show what it told; nothing is kept."""
    view = ViewState.of(design_id, dict(form.values))
    sight = workshop.look(view.design, view.where, view.units)
    try:
        asked = asked_for(form, sight)
        found = apart(True, measured_in, form.files.get("photo", b""), asked)
    except EditError as error:
        wrong: Mapping[str, str] = error.problems
    except PhotoError as error:
        wrong = {"photo": str(error)}
    else:
        return HTMLResponse(render("built/photo.html", photo_page(sight, view, *told_of(found))))
    shown = built_page(sight, view, listed_of("", "", 1), photo=photo_form(sight, view, form.values, wrong))
    return HTMLResponse(render("built/page.html", shown), 422)


@router.post("/designs/{design_id}/built/photo-take")
def photo_taken(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Keep the holes that were chosen of a photograph, as one step."""
    view = ViewState.of(design_id, dict(form.values))

    def read(form: Form, view: ViewState) -> DesignChange:
        sight = workshop.look(view.design, view.where, view.units)
        return holes_taken(view.where, chosen_holes(form, sight), _now(), unit=form.unit)

    def again(problems: Mapping[str, str]) -> Response:
        sight, said = workshop.look(view.design, view.where, view.units), " ".join(dict.fromkeys(problems.values()))
        try:
            shown = photo_page(sight, view, form.text("told"), form.text("picture"), form, said)
        except EditError:
            page = built_page(sight, view, listed_of("", "", 1), problems={"rows": said})
            return HTMLResponse(render("built/page.html", page), 422)
        return HTMLResponse(render("built/photo.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(seen="").url("/built", **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="rows")


@router.post("/designs/{design_id}/built/{verb}")
def built_said(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Keep what was ticked and typed, as one step, and look at what came of it."""
    view = ViewState.of(design_id, dict(form.values))
    listed = listed_of(form.text("show"), form.text("part"), whole(form.text("leaf"), 1, _MOST_PAGES) or 1)
    read = reader_of(_READERS, verb)

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        shown = built_page(sight, view, listed, problems=problems, typed=form.values)
        return HTMLResponse(render("built/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(seen="").url("/built", **listed.query, **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="rows")


def _now() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _keep(form: Form, view: ViewState) -> DesignChange:
    rows = typed_rows(form)
    ways = next((way for way in WAYS if way == form.text("ways")), WAYS[0])
    return cuts_typed(view.where, rows, _now(), ways=ways, unit=form.unit)


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "keep": _keep,
        "rest": lambda form, view: rest_ticked(view.where, form.text("part")[:_LONGEST], _now()),
        "clear": lambda form, view: mark_cleared(view.where, form.text("at")[:_LONGEST]),
    }
)
