"""The page on which the board itself is changed: its drawing with handles, and one panel beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from markupsafe import Markup
from msgspec import Struct, field

from app.service import CheckResult
from app.service.drawings.board_sheets import following_svg, handle_shift, handle_words, outside, sheet_svg
from app.service.edits.board_changes import Dragged
from app.service.edits.changes import grid_of
from app.service.screens.board.board_form import BoardForm, Grip, board_form, grip_named
from app.service.screens.tally import Tally, tally_of
from app.service.screens.words import listed
from app.service.sight import Sight
from app.units import Unit
from app.web.pages.board_edit import board_fields as stuff
from app.web.pages.board_edit import panels
from app.web.shared.switches import others_of, switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState

GROUPS: Final[Mapping[str, str]] = {
    "size": "Size and material",
    "shapes": "Shapes",
    "corners": "Corners",
    "openings": "Openings",
    "layers": "Layers",
    "edges": "Edges",
    "below": "Depth below",
    "clear": "Keep clear",
}
"""Names of the groups, in words."""

_GROUP_OF: Final = {"opening": "openings", "clear": "clear", "size": "clear"}
_MOST_NAMED: Final = 8


class BoardEditPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        name: of the board.
        boards: the strip of boards.
        units: switches.
        others: the arrangements of the board that are not on screen: what is changed here is changed in them too.
        undo, redo: names of the steps; empty if there is none.
        drawing: the board with its handles.
        group: name of the group in hand.
        groups: the ways to the groups.
        hold: name of the handle in hand; empty if none is.
        held_words: what it is.
        grid: step of the grid on the drawing [mm].
        outside: what is said of parts that do not lie on the board; empty if all do.
        tally: stops and cautions.
        unit: of the fields.
        back_url, room_url, outline_url: the board page, the page that makes room, that which reads an outline.
        layers_url: the group in which layers are added, removed and put in order.
        size, corners, openings, layers, edges, below, clear, shapes: the panel in hand; the others are empty.
            With the size come the layers.
        free_below: whether nothing is below the board.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    title: str
    name: str
    boards: BoardStrip
    others: tuple[Option, ...]
    units: tuple[Option, ...]
    undo: str
    redo: str
    drawing: Markup
    group: str
    groups: tuple[Option, ...]
    hold: str
    held_words: str
    grid: float
    outside: str
    tally: Tally
    unit: str
    back_url: str
    room_url: str
    outline_url: str
    layers_url: str
    size: tuple[stuff.LengthField, ...] = ()
    corners: panels.CornersPanel | None = None
    openings: panels.ThingPanel | None = None
    layers: stuff.LayersPanel | None = None
    edges: tuple[tuple[str, stuff.LengthField, stuff.LengthField], ...] = ()
    below: tuple[stuff.LengthField, ...] = ()
    clear: panels.ThingPanel | None = None
    shapes: stuff.ShapesPanel | None = None
    free_below: bool = False
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


class DraggedBlock(Struct, frozen=True):
    """What is swapped while a handle is dragged.

    Args:
        drawing: groups of the drawing, each to be swapped for the one of its name; empty if no board can be so.
        x, y: how far the handle has come on the drawing, y down.
        said: what it would come to, or why it cannot be.
        wrong: whether it cannot be.
        tally: stops and cautions; None if it cannot be.
    """

    drawing: Markup
    x: float
    y: float
    said: str
    wrong: bool
    tally: Tally | None


def board_edit_page(
    sight: Sight,
    view: ViewState,
    group: str = "",
    hold: str = "",
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> BoardEditPage:
    """The page with one group open, and what is in hand if anything is; a name that is not there counts as none."""
    form, unit = board_form(sight), sight.unit
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    grip = grip_named(hold)
    held_words = handle_words(sight.checked, hold) if grip else ""
    if grip and not held_words and grip.kind != "corner":
        grip, hold = None, ""  # undone or removed since
    if group not in GROUPS:
        group = _GROUP_OF.get(grip.kind, "corners") if grip else "size"
    switches = switches_of(sight, view, "/board", group=group)
    undo, redo = sight.steps
    return BoardEditPage(
        view=view,
        title=sight.title,
        name=form.name,
        boards=switches["boards"],
        others=others_of(sight, view),
        units=tuple(
            Option(u.value, view.at(units=u.value).url("/board", group=group, hold=hold), u is unit) for u in Unit
        ),
        undo=undo,
        redo=redo,
        drawing=Markup(sheet_svg(sight.checked, hold)),  # noqa: S704 - our own writer's SVG
        group=group,
        groups=tuple(Option(w, view.url("/board", group=name), name == group) for name, w in GROUPS.items()),
        hold=hold,
        held_words=held_words,
        grid=grid_of(unit),
        outside=_outside_words(sight.checked),
        tally=tally_of(sight.checked),
        unit=unit.value,
        back_url=view.url(),
        room_url=view.url("/room"),
        outline_url=view.url("/outline"),
        layers_url=view.url("/board", group="layers"),
        **_panel(form, view, group, grip, unit),
        problems=problems or {},
        typed=typed or {},
    )


def dragged_block(before: Sight, dragged: Dragged, hold: str) -> DraggedBlock:
    """What follows a handle that is dragged."""
    dx, dy = handle_shift(before.checked, dragged, hold)
    said = f"{dragged.edit.summary}. {_outside_words(dragged.seen)}".strip()
    drawing = Markup(following_svg(dragged, hold))  # noqa: S704 - our own writer's SVG
    return DraggedBlock(drawing, round(dx, 4), round(-dy, 4) + 0.0, said, wrong=False, tally=tally_of(dragged.seen))


def refused_block(said: str) -> DraggedBlock:
    """What is said of a drag no board can follow; the drawing stays as it was."""
    return DraggedBlock(Markup(""), 0.0, 0.0, said, wrong=True, tally=None)


def _panel(board: BoardForm, view: ViewState, group: str, grip: Grip | None, unit: Unit) -> dict[str, Any]:
    """The fields of the page that the group in hand fills."""
    rings = board.rings
    if group == "corners":
        of_ring = grip if grip and grip.kind in ("corner", "edge", "before", "after") else None
        return {"corners": panels.corners_panel(rings, of_ring, view, unit)}
    if group == "openings":
        return {"openings": panels.openings_panel(rings, board.new_box, grip, view, unit)}
    if group == "layers":
        return {"layers": stuff.layers_panel(board, unit)}
    if group == "edges":
        return {"edges": stuff.edge_fields(board, unit)}
    if group == "below":
        return {"below": stuff.below_fields(board, unit), "free_below": board.free_below}
    if group == "clear":
        return {"clear": panels.clear_panel(board.areas, board.new_box, grip, view, unit)}
    if group == "shapes":
        return {"shapes": stuff.shapes_panel(rings[0], unit)}
    return {"size": stuff.size_fields(board, unit), "layers": stuff.layers_panel(board, unit)}


def _outside_words(seen: CheckResult) -> str:
    letters = outside(seen)
    if not letters:
        return ""
    rest = len(letters) - _MOST_NAMED
    named = list(letters[:_MOST_NAMED]) + ([f"{rest} more"] if rest > 0 else [])
    lies = "is" if len(letters) == 1 else "are"
    return f"{listed(named)} {lies} not wholly on the board."
