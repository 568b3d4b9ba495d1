"""A pattern of holes: looked at while it is typed, put on the board, changed."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import Request
from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.service import DesignChange, Edit
from app.service.edits.patterns import (
    PatternAsked,
    PatternHeld,
    asked_at_first,
    asked_of,
    pattern_added,
    pattern_changed,
    pattern_held,
)
from app.service.screens.pattern_seen import PatternSeen, pattern_seen, pattern_tried
from app.service.sight import Sight
from app.units import Unit
from app.web.forms import Form
from app.web.htmx import Htmx
from app.web.pages.pattern.context import PatternPage, pattern_page
from app.web.pages.pattern.reading import asked_by
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_BESIDE = "pattern"


@router.get("/designs/{design_id}/pattern")
def new(request: Request, workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """A new pattern, as it would be with what is typed."""
    return _looked(workshop, view, "", dict(request.query_params), htmx)


@router.post("/designs/{design_id}/pattern")
def add(design_id: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Put it on the board."""
    return _saved(workshop, ViewState.of(design_id, dict(form.values)), "", form, htmx)


@router.get("/designs/{design_id}/pattern/{pattern_id}")
def pattern(pattern_id: str, request: Request, workshop: OpenWorkshop, view: View, htmx: HtmxRequest) -> HTMLResponse:
    """A pattern of the board, as it would be with what is typed."""
    return _looked(workshop, view, pattern_id, dict(request.query_params), htmx)


@router.post("/designs/{design_id}/pattern/{pattern_id}")
def change(design_id: str, pattern_id: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Change it, in one step; a field that cannot be taken is shown again with what is wrong beside it."""
    return _saved(workshop, ViewState.of(design_id, dict(form.values)), pattern_id, form, htmx)


def _looked(
    workshop: OpenWorkshop, view: ViewState, pattern_id: str, typed: dict[str, str], htmx: Htmx
) -> HTMLResponse:
    sight = workshop.look(view.design, view.where, view.units)
    held, base = _base(sight, view, pattern_id)
    form = Form(typed, Unit.INCH if typed.get("unit", sight.unit.value) == Unit.INCH.value else Unit.MM)
    problems: Mapping[str, str] = {}
    asked = base
    try:
        asked = asked_by(form, base)
        form.done()
        seen = pattern_tried(sight.design, view.where, _change(view, held, asked), sight.unit) if _may(held) else None
    except EditError as error:
        problems, seen = _beside(error, form), None
    return _page(_shown(sight, view, held, base, seen, problems, form.values), htmx)


def _saved(workshop: OpenWorkshop, view: ViewState, pattern_id: str, form: Form, htmx: Htmx) -> Response:
    def read(form: Form, view: ViewState) -> DesignChange:
        held, base = _base(workshop.look(view.design, view.where, view.units), view, pattern_id)
        return _change(view, held, asked_by(form, base))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        held, base = _base(sight, view, pattern_id)
        return _page(_shown(sight, view, held, base, None, problems, form.values), htmx, status=422)

    def onward(done: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(select=(done.placement,)).url(**other_windows)

    return answered(workshop, form, view, read, again, onward, beside=_BESIDE)


def _base(sight: Sight, view: ViewState, pattern_id: str) -> tuple[PatternHeld | None, PatternAsked]:
    """The pattern on the board, and what its fields begin with."""
    if not pattern_id:
        return None, asked_at_first(sight.design, view.where)
    held = pattern_held(sight.design, view.where, pattern_id, next(iter(view.select), ""))
    return held, asked_of(held.entry, held.board, held.placement)


def _may(held: PatternHeld | None) -> bool:
    return held is None or not held.maker


def _change(view: ViewState, held: PatternHeld | None, asked: PatternAsked) -> DesignChange:
    if held is None:
        return pattern_added(view.where, asked)
    return pattern_changed(view.where, held.placement.id, held.entry.id, asked)


def _beside(error: EditError, form: Form) -> Mapping[str, str]:
    return error.problems if set(error.problems) <= set(form.values) else {_BESIDE: str(error)}


def _shown(
    sight: Sight,
    view: ViewState,
    held: PatternHeld | None,
    base: PatternAsked,
    seen: PatternSeen | None,
    problems: Mapping[str, str],
    typed: Mapping[str, str],
) -> PatternPage:
    """The page; with the pattern as it is where what was typed is not possible."""
    if seen is None and held is not None:
        seen = pattern_seen(sight.design, view.where, held.placement.id, sight.unit)
    if seen is None:
        seen = pattern_tried(sight.design, view.where, pattern_added(view.where, base), sight.unit)
    return pattern_page(sight, view, base, seen, held, problems=problems, typed=typed)


def _page(shown: PatternPage, htmx: Htmx, status: int = 200) -> HTMLResponse:
    return page("pattern/page.html", shown, htmx, block="pattern", status=status)
