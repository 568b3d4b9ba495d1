"""The board itself: its page, one form for each thing that can be changed, and what follows a dragged handle."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.errors import EditError, NotFoundError
from app.numbers import whole
from app.service import DesignChange, Edit
from app.service.edits import board_changes
from app.service.edits.board_changes import Pull
from app.service.edits.changes import grid_of
from app.web.forms import Form
from app.web.pages.board_edit.context import board_edit_page, dragged_block, refused_block
from app.web.render import page, render
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_BOX = {"x": "The distance from the left edge", "y": "The distance from the front edge"}
_SIDES = {"width": "The width", "height": "The measure front to back"}
_CORNER = {
    **_BOX,
    "before": "The offset before the corner",
    "after": "The offset after it",
    "run": "The run",
    "rise": "The rise",
}
_SETBACK = {"setback": "The corner set-back"}
_LAYER = re.compile(r"(material|thickness)-(\d{1,2})")


@router.get("/designs/{design_id}/board")
def board_edit(workshop: OpenWorkshop, view: View, htmx: HtmxRequest, group: str = "", hold: str = "") -> HTMLResponse:
    """The board with its handles, and one group of what can be typed."""
    sight = workshop.see(view.design, view.where, view.units)
    return page("board_edit/page.html", board_edit_page(sight, view, group, hold), htmx, block="board")


@router.post("/designs/{design_id}/board/preview")
def preview(design_id: str, workshop: OpenWorkshop, form: Sent) -> HTMLResponse:
    """The pieces that follow a handle dragged by ``dx, dy``; nothing is kept."""
    view, handle, pull = ViewState.of(design_id, dict(form.values)), form.text("handle"), _pull(form)
    form.done()
    sight = workshop.look(view.design, view.where, form.unit.value)
    try:
        dragged = board_changes.drag_preview(sight.design, view.where, handle, pull, form.unit.value)
        block = dragged_block(sight, dragged, handle)
    except EditError as error:
        block = refused_block(str(error))
    return HTMLResponse(render("board_edit/_dragged.html", block))


@router.post("/designs/{design_id}/board/{verb}")
def change_board(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make one change to the board; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = ViewState.of(design_id, dict(form.values)), reader_of(_READERS, verb, " of a board")
    group, hold = form.text("group"), form.text("hold")

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = board_edit_page(sight, view, group, hold, problems=problems, typed=form.values)
        return page("board_edit/page.html", shown, htmx, block="board", status=422)

    def onward(done: Edit, other_windows: Mapping[str, str]) -> str:
        return view.url("/board", group=group, hold=_next_hold(verb, form, view, done), **other_windows)

    return answered(workshop, form, view, read, again, onward, beside="form")


def _next_hold(verb: str, form: Form, view: ViewState, done: Edit) -> str:
    """What is in hand after a change: what was made, or what was."""
    if verb == "drag":
        return form.text("handle")
    if verb == "shape" or verb.endswith("-remove"):
        return ""
    if verb in ("opening-add", "area-add"):
        return board_changes.newest(done, view.where, verb.removesuffix("-add"))
    return board_changes.corner_after(done, view.where, _spot(form)) if verb == "corner-add" else form.text("hold")


def _lengths(form: Form, fields: Mapping[str, str]) -> dict[str, float]:
    """What was typed [mm]; a field that still shows what was shown stays exactly as it is."""
    return {name: form.length(name, words) for name, words in fields.items() if form.changed(name)}


def _number(form: Form, name: str) -> int:
    typed = form.text(name)
    number = whole(typed, 0, 9999)
    if number is None:
        raise NotFoundError(f"There is no {name} “{typed[:20]}”. Reload the page.")
    return number


def _spot(form: Form) -> tuple[int, int]:
    return _number(form, "ring"), _number(form, "index")


def _pull(form: Form) -> Pull:
    dx, dy = form.number("dx", "The shift to the right"), form.number("dy", "The shift to the back")
    return Pull(dx, dy, 0.0 if form.flag("free") else grid_of(form.unit), form.flag("alone"))


def _drag(form: Form, view: ViewState) -> DesignChange:
    return board_changes.dragged(view.where, form.text("handle"), _pull(form))


def _size(form: Form, view: ViewState) -> DesignChange:
    asked = _lengths(form, {"width": "The width", "depth": "The depth"})
    name = form.text("board-name") if form.changed("board-name") else None
    return board_changes.size_set(view.where, name, (asked.get("width"), asked.get("depth")), *_layered(form))


def _cut(form: Form, view: ViewState) -> DesignChange:
    before = form.length("cut-before", "The offset before the corner")
    return board_changes.corner_cut(view.where, _spot(form), before, form.length("cut-after", "The offset after it"))


def _box(form: Form) -> tuple[float, float, float, float]:
    x, y, width, height = (form.length(name, words) for name, words in {**_BOX, **_SIDES}.items())
    return x, y, width, height


def _opening(form: Form, view: ViewState) -> DesignChange:
    asked = _lengths(form, {**_BOX, **_SIDES, **_SETBACK})
    return board_changes.opening_set(view.where, _number(form, "thing"), asked)


def _layers(form: Form, view: ViewState) -> DesignChange:
    return board_changes.layers_set(view.where, *_layered(form))


def _layered(form: Form) -> tuple[dict[int, str], dict[int, float]]:
    """Materials and thicknesses [mm] that were typed anew, by number of the layer."""
    materials: dict[int, str] = {}
    thicknesses: dict[int, float] = {}
    for name in form.values:
        found = _LAYER.fullmatch(name)
        if found and form.changed(name):
            if found[1] == "material":
                materials[int(found[2])] = form.text(name)
            else:
                thicknesses[int(found[2])] = form.length(name, "The thickness")
    return materials, thicknesses


def _layer_add(form: Form, view: ViewState) -> DesignChange:
    thick = form.length("thickness-new", "The thickness")
    return board_changes.layer_added(view.where, form.text("material-new"), thick)


def _layer_move(form: Form, view: ViewState) -> DesignChange:
    return board_changes.layer_moved(view.where, _number(form, "layer"), -1 if form.text("way") == "up" else 1)


def _edges(form: Form, view: ViewState) -> DesignChange:
    slots = _lengths(form, {f"slot-{edge}": "The slot" for edge in board_changes.EDGES})
    rails = _lengths(form, {f"rail-{edge}": "The rail" for edge in board_changes.EDGES})
    by_edge = ({name.partition("-")[2]: value for name, value in each.items()} for each in (slots, rails))
    return board_changes.edges_set(view.where, *by_edge)


def _free_depth(form: Form, view: ViewState) -> DesignChange:
    words = {"front": "The depth below the front edge", "back": "The depth below the back edge"}
    # Where nothing was below, both count as they are shown.
    asked = {n: form.length(n, w) for n, w in words.items() if form.changed(n) or form.flag("free")}
    return board_changes.free_depth_set(view.where, asked.get("front"), asked.get("back"))


def _area(form: Form, view: ViewState) -> DesignChange:
    return board_changes.area_set(
        view.where,
        _number(form, "thing"),
        _lengths(form, {**_BOX, **_SIDES}),
        form.text("face") if form.changed("face") else None,
        form.text("label") if form.changed("label") else None,
    )


def _shape(form: Form, view: ViewState) -> DesignChange:
    across, along = form.length("across", "The offset across"), form.length("along", "The offset front to back")
    return board_changes.shape_set(view.where, form.text("shape"), across, along)


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        "drag": _drag,
        "size": _size,
        "corner": lambda form, view: board_changes.corner_set(view.where, _spot(form), _lengths(form, _CORNER)),
        "corner-add": lambda form, view: board_changes.corner_added(view.where, _spot(form)),
        "corner-remove": lambda form, view: board_changes.corner_removed(view.where, _spot(form)),
        "corner-cut": _cut,
        "opening": _opening,
        "opening-add": lambda form, view: board_changes.opening_added(
            view.where, _box(form), form.length("setback", "The corner set-back")
        ),
        "opening-remove": lambda form, view: board_changes.opening_removed(view.where, _number(form, "thing")),
        "layers": _layers,
        "layer-add": _layer_add,
        "layer-remove": lambda form, view: board_changes.layer_removed(view.where, _number(form, "layer")),
        "layer-move": _layer_move,
        "edges": _edges,
        "free-depth": _free_depth,
        "free-depth-clear": lambda _, view: board_changes.free_depth_cleared(view.where),
        "area": _area,
        "area-add": lambda form, view: board_changes.area_added(
            view.where, form.text("face"), _box(form), form.text("label")
        ),
        "area-remove": lambda form, view: board_changes.area_removed(view.where, _number(form, "thing")),
        "shape": _shape,
    }
)
