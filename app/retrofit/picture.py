"""The board with what becomes of its holes: kept thin, enlarged and new in teal, plugged crossed, the rest dashed."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence

from app.drafting.facing import facing
from app.drafting.forms import shape_item
from app.drafting.hardware.part_letters import LETTER, letter
from app.drafting.view.board_view import view_scale
from app.drafting.view.plan import blank
from app.geometry.shapes import Shape, circle
from app.model.resolved import Placed
from app.retrofit.cut import DrilledCut
from app.retrofit.retrofit import Retrofit
from app.scene.palette import LIGHT, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Scene, Style

_OLD = Style(stroke=LIGHT["muted"], width=0.6, dash=(2.4, 1.6), role="was")
_PLUG = Style(stroke=LIGHT["muted"], width=0.6, fill=LIGHT["field"], role="plug")
_CROSS = Style(stroke=LIGHT["muted"], width=0.4, role="plug-cross")
_KEPT = Style(stroke=LIGHT["field"], width=0.35, fill=LIGHT["hole"], role="kept")
_NEW = Style(stroke=LIGHT["teal"], width=0.9, fill=LIGHT["teal-pale"], role="is")


def retrofit_scene(found: Retrofit) -> Scene:
    """The top face; groups ``board``, ``kept``, ``old`` and ``new``."""
    board = found.new
    scale, view = view_scale(board), facing(board, "top")
    kept = [shape_item(s.cut.shape, _KEPT) for s in found.new_steps if s.kept is not None]
    news = [s.cut for s in found.new_steps if s.kept is None]
    new = [shape_item(cut.shape, _NEW) for cut in news]
    old: list[Item] = []
    for step in found.old_steps:
        if step.taken.kind == "plug":
            old += _plug(step.taken.wide, step.cut)
        elif step.taken.kind != "keep":
            old.append(shape_item(step.cut.shape, _OLD))
    letters = [*_letters(board.placements, {c.key.placement for c in news}, scale)]
    x0, y0, x1, y1 = board.outline.bounds
    edge = 9.0 * scale
    groups = (
        Group(blank(board, view, scale), name="board"),
        Group(tuple(kept), name="kept"),
        Group(tuple(new), name="new"),
        Group(tuple(old), name="old"),
        Group(tuple(letters), name="letters"),
    )
    title = f"{board.title}: {board.name}, what becomes of its holes"
    return Scene(x0 - edge, y0 - edge, x1 + edge, y1 + edge, groups, title=title, note="top face, drawn in mm")


def _plug(wide: float, cut: DrilledCut) -> Iterator[Item]:
    x, y = cut.shape.centre
    shape: Shape = circle(wide, x, y) if wide else cut.shape
    yield shape_item(shape, Style(_PLUG.stroke, _PLUG.width, (), None, 1.0, _PLUG.role))
    r = 0.35 * shape.reach
    yield Line((x - r, y - r), (x + r, y + r), _CROSS)
    yield Line((x - r, y + r), (x + r, y - r), _CROSS)


def _letters(placements: Sequence[Placed], made: Container[str], scale: float) -> Iterator[Item]:
    for p in placements:
        if p.drill and not p.part.is_pattern:
            yield from letter((p.x, p.y), p.label, LETTER * scale, 3.0 * p.rim, TEXT if p.id in made else TEXT_MUTED)
