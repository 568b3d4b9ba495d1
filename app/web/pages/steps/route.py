"""The steps of building: read on a phone in the workshop, reworded, added, left out and ordered by the plan maker."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.numbers import whole
from app.service import DesignChange, Edit
from app.service.edits.build_steps import (
    step_added,
    step_hidden,
    step_moved,
    step_removed,
    step_reset,
    step_reworded,
    step_shown,
    steps_reset,
)
from app.service.screens.bench.steps_seen import step_svg
from app.web.answers import ASK_AGAIN, TO_KEEP, picture
from app.web.assets import code
from app.web.forms import Form
from app.web.pages.steps.context import steps_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_MOST = 99_999
_STAYING = frozenset({"step-reword", "step-move", "step-reset"})
"""Forms of a step that is still there, to be changed further."""


@router.get("/designs/{design_id}/steps")
def steps(
    workshop: OpenWorkshop, view: View, htmx: HtmxRequest, alone: str = "", start: str = "", unfolded: str = ""
) -> HTMLResponse:
    """Every step of the design, or of the board in view; one of them with its forms."""
    sight = workshop.see(view.design, view.where, view.units)
    shown = steps_page(sight, view, alone=bool(alone), start=whole(start, 1, _MOST) or 1, unfolded=unfolded)
    return page("steps/page.html", shown, htmx, block="steps")


@router.get("/designs/{design_id}/step.svg")
def step_picture(
    workshop: OpenWorkshop, view: View, step: str = "cut", revision: str = "", state: str = "", alone: str = ""
) -> Response:
    """The picture of a step; to keep if the address names the revision that is drawn, and this state of the program."""
    sight = workshop.look(view.design, view.where, view.units)
    keep = TO_KEEP if revision == sight.revision and state == code() else ASK_AGAIN
    return picture(step_svg(sight, step, alone=bool(alone)), keep)


@router.post("/designs/{design_id}/steps/{verb}")
def change_steps(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Change the list of steps; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = ViewState.of(design_id, dict(form.values)), reader_of(_READERS, verb, " of the steps")
    start = form.text("start")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = steps_page(
            sight, view, alone=False, start=whole(start, 1, _MOST) or 1, problems=problems, typed=form.values
        )
        return page("steps/page.html", shown, htmx, block="steps", status=422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        which = form.text("which") if verb in _STAYING else ""
        url = view.url("/steps", start=start, unfolded=which, **other_windows)
        return f"{url}#step-{which.replace('/', ':')}" if which else url

    return answered(workshop, form, view, read, again, onward, beside="form")


def _reword(form: Form, view: ViewState) -> DesignChange:
    """Fields that still hold what was shown are left as they are: the screen may be in other units than the design."""
    title = form.text("title") if form.changed("title") else None
    text = _lines(form, "text") if _lines(form, "text") != _lines(form, "text.was") else None
    return step_reworded(view.where, form.text("which"), title, text)


def _move(form: Form, view: ViewState) -> DesignChange:
    by = -1 if form.one_of("way", "The way", ("up", "down")) == "up" else 1
    return step_moved(view.where, form.text("which"), by)


def _lines(form: Form, name: str) -> str:
    return "\n".join(line.strip() for line in form.text(name).splitlines())


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "step-add": lambda form, view: step_added(
            view.where, form.text("title"), _lines(form, "text"), form.text("after")
        ),
        "step-reword": _reword,
        "step-hide": lambda form, view: step_hidden(view.where, form.text("which")),
        "step-show": lambda form, view: step_shown(view.where, form.text("which")),
        "step-move": _move,
        "step-reset": lambda form, view: step_reset(view.where, form.text("which")),
        "step-remove": lambda form, _: step_removed(form.text("which")),
        "steps-reset": lambda _, __: steps_reset(),
    }
)
