"""Changes to a board: one form, one use case, then look at the board again."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType

from starlette.responses import Response

from app.service import Design, DesignChange, Edit
from app.service.edits import arrangements, changes
from app.service.edits.accepting import accepted, accepted_all, withdrawn
from app.service.edits.apply_fix import fix_applied, fix_applied_to_all
from app.service.edits.changes import on_board
from app.service.edits.shop_changes import settings_set
from app.web.forms import Form
from app.web.pages.board.arranging import READERS, chosen
from app.web.pages.board.context import board_page
from app.web.render import page
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import HtmxRequest, OpenWorkshop, Sent, overtaken, see_other, sender_of, still_there
from app.web.shared.view_state import ViewState

router = Router()


@router.post("/designs/{design_id}/undo")
def undo(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Take the last step back."""
    sender = sender_of(form)
    head = workshop.undo(design_id, sender)
    return see_other(_back(workshop, design_id, form, overtaken(workshop, design_id, sender, head, "undo")))


@router.post("/designs/{design_id}/redo")
def redo(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Make the step again that was taken back last."""
    sender = sender_of(form)
    head = workshop.redo(design_id, sender)
    return see_other(_back(workshop, design_id, form, overtaken(workshop, design_id, sender, head, "redo")))


@router.post("/designs/{design_id}/edit/{verb}")
def edit(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent, htmx: HtmxRequest) -> Response:
    """Make one change; a field that cannot be taken is shown again with what is wrong beside it."""
    view, read = _here(design_id, form), reader_of(_READERS, verb)
    if verb == "move":
        read = partial(_move, seen=_seen(workshop, view))

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        shown = board_page(sight, view, problems=problems, typed=form.values)
        return page("board/page.html", shown, htmx, block="bench", status=422)

    # A drag keeps what else was selected; anything else is about the one part it made or changed.
    rest = view.select if verb == "move" else ()
    return answered(
        workshop, form, view, read, again, lambda done, other_windows: _after(done, view, rest).url(**other_windows)
    )


def _after(done: Edit, view: ViewState, rest: tuple[str, ...]) -> ViewState:
    """The view of what was done, with the ``rest`` of what was selected."""
    if done.placement:
        return view.at(select=tuple(dict.fromkeys((done.placement, *rest))))
    if done.several:
        return view.at(select=done.several)
    return view.at(arrangement=done.arrangement, select=()) if done.arrangement else view


def _here(design_id: str, form: Form) -> ViewState:
    return ViewState.of(design_id, dict(form.values))


def _back(workshop: OpenWorkshop, design_id: str, form: Form, other_windows: Mapping[str, str]) -> str:
    """Address of the page a step was taken on, with what was open and in hand there; the board if it names none."""
    pages = {
        page: f"/{page}"
        for page in ("shop", "timeline", "stations", "board", "boards", "legends", "steps", "wiring", "built", "coupon")
    }
    pages |= {f"bench/{kind}": f"/bench/{kind}" for kind in ("drilling", "parts")}
    page = pages.get(form.text("page"), "")
    view = still_there(workshop, _here(design_id, form))
    return view.url(page, group=form.text("group"), hold=form.text("hold"), **other_windows)


def _move(form: Form, view: ViewState, seen: Design | None = None) -> DesignChange:
    """Where it was let go counts: one part that another window moved meanwhile still lands under the pointer."""
    dx, dy = form.number("dx", "The shift to the right"), form.number("dy", "The shift to the back")
    grid = 0.0 if form.flag("free") else changes.grid_of(form.unit)
    shift = on_board(view.face, dx, dy)
    return changes.moved(view.where, chosen(view), *shift, grid, seen)


def _seen(workshop: OpenWorkshop, view: ViewState) -> Design | None:
    """The design as it was on screen, if it says which moment that was."""
    return workshop.seen(view.design, view.seen) if view.seen else None


def _place(form: Form, view: ViewState) -> DesignChange:
    """Fields that still show what was shown are left exactly as they are: the screen rounds, the design does not."""
    return changes.placed(
        view.where,
        chosen(view)[0],
        x=form.length("x", "The distance from the left edge") if form.changed("x") else None,
        y=form.length("y", "The distance from the front edge") if form.changed("y") else None,
        angle=form.number("angle", "The angle") if form.changed("angle") else None,
        label=form.text("label") if form.changed("label") else None,
    )


def _add(form: Form, view: ViewState) -> DesignChange:
    at = None
    if form.has("x") and form.has("y"):
        at = (form.number("x", "The distance from the left"), form.number("y", "The distance from the front"))
    return changes.added(view.where, form.text("part"), at, view.face, changes.grid_of(form.unit))


def _settings(form: Form, view: ViewState) -> DesignChange:
    return settings_set(
        view.where,
        layers={0: form.length("thickness", "The thickness")} if form.changed("thickness") else {},
        drilling=form.text("drilling"),
        paper=form.text("paper"),
        bits=form.text("bits"),
    )


def _counterbore(form: Form, view: ViewState) -> DesignChange:
    if len(ids := chosen(view)) > 1:
        sizes = (form.length(name, words) for name, words in _BORE.items())
        change = changes.counterbore_set_in_all(view.where, ids, *sizes)
    else:
        change = changes.counterbore_set(view.where, ids[0], *_typed(form, _BORE))
    return changes.beside_fields(change, {"diameter": "bore-diameter", "depth": "bore-depth"})


def _recess(form: Form, view: ViewState) -> DesignChange:
    change = changes.recess_set(view.where, chosen(view)[0], _typed(form, _POCKET))
    return changes.beside_fields(change, {name.removeprefix("recess-"): name for name in _POCKET})


def _typed(form: Form, fields: Mapping[str, str]) -> tuple[float | None, ...]:
    """Lengths typed [mm]; None for a field that still shows what was shown, and so keeps its exact size."""
    return tuple(form.length(name, words) if form.changed(name) else None for name, words in fields.items())


_BORE = {"bore-diameter": "The counterbore’s width", "bore-depth": "The counterbore’s depth"}
_POCKET = {
    "recess-width": "The recess’s width",
    "recess-height": "The recess’s height",
    "recess-corner": "The recess’s corner radius",
    "recess-depth": "The recess’s depth",
}


def _fix_apply(form: Form, view: ViewState) -> DesignChange:
    """What the button said it would do comes along, so that nothing else is done."""
    said, units = form.text("said"), form.unit.value
    if form.has("group"):
        change = fix_applied_to_all(view.where, form.text("group"), said, units)
    else:
        change = fix_applied(view.where, form.text("finding"), said, units)
    return changes.beside_fields(change, {"": "said", "finding": "said"})


def _accept(form: Form, view: ViewState) -> DesignChange:
    reason = form.text("reason")
    if form.has("group"):
        return changes.beside_fields(accepted_all(view.where, form.text("group"), reason), {"": "group"})
    return changes.beside_fields(accepted(view.where, form.text("finding"), reason), {"": "finding"})


def _withdraw(form: Form, view: ViewState) -> DesignChange:
    return changes.beside_fields(withdrawn(view.where, form.text("acceptance")), {"": "acceptance"})


def _arrangement_add(form: Form, view: ViewState) -> DesignChange:
    blank = form.one_of("kind", "The new arrangement", ("copy", "blank")) == "blank"
    return arrangements.arrangement_added(view.where, blank=blank)


def _drill(form: Form, view: ViewState) -> DesignChange:
    return changes.drilled(view.where, chosen(view), drill=form.flag("drill"))


_READERS: Mapping[str, Reader] = MappingProxyType(
    {
        **READERS,
        "move": _move,
        "place": _place,
        "add": _add,
        "remove": lambda _, view: changes.removed(view.where, chosen(view)),
        "drill": _drill,
        "part": lambda form, view: changes.part_set(view.where, chosen(view)[0], form.text("part")),
        "counterbore-clear": lambda _, view: changes.counterbore_cleared(view.where, chosen(view)[0]),
        "counterbore": _counterbore,
        "recess": _recess,
        "recess-clear": lambda _, view: changes.recess_cleared(view.where, chosen(view)[0]),
        "fix-apply": _fix_apply,
        "accept": _accept,
        "withdraw": _withdraw,
        "title": lambda form, _: changes.title_set(form.text("title")),
        "arrangement-add": _arrangement_add,
        "arrangement-rename": lambda form, view: arrangements.arrangement_renamed(view.where, form.text("called")),
        "arrangement-remove": lambda _, view: arrangements.arrangement_removed(view.where),
        "settings": _settings,
    }
)
