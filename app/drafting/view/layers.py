"""Layers of the board on screen that a reader shows and hides: what lies under the flanges, what hangs below, rooms.

What is drawn of a part stands in the part's own group, so that it moves with it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from app.catalogue.load import catalogue
from app.drafting.facing import Facing
from app.drafting.forms import shape_item
from app.drafting.hardware.part_letters import rim_radius
from app.drafting.view.layer_names import ASKABLE
from app.drafting.view.reach_zones import hands
from app.fit.features.features import NUT
from app.fit.features.layout import layout_of
from app.fit.limits.layer_limits import web_limits
from app.geometry.shapes import Shape
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import HIDDEN, HOLE_OPEN, TEAL_DEEP
from app.scene.primitives import Circle, Group, Item, Path, Style
from app.values import replace

_COVERED = replace(HOLE_OPEN, role="hole-open hole-under")
_ROOM = Style(stroke=TEAL_DEEP, width=0.35, dash=(0.7, 1.1), fill=TEAL_DEEP, opacity=0.55, role="room")
_GRIP = Style(stroke=None, role="grip")
_ROOM_FILL = Style(stroke=None, fill=TEAL_DEEP, opacity=0.07, role="room-fill")


def layered(
    groups: Collection[Group], board: ResolvedBoard, view: Facing, asked: Collection[str], scale: float = 1.0
) -> tuple[Group, ...]:
    """The groups of a face with its layers in them, and each part with its place for a pointer.

    ``parts`` gets, in the group of each part, its holes under what covers them, and if asked for ``rooms``, on the
    top face ``bodies``, on the underside ``flanges``. The place, ``data-at``, is the middle of the part in the
    coordinates of the page and the radius of what shows of it [mm]. A pattern is one thing to take hold of, also
    between its holes: its ``grip``. Where asked for, ``hands`` is a group of its own under them.

    Args:
        groups: what :func:`app.drafting.view.plan.plan` or :func:`app.drafting.view.underside.underside` gave.
        board: the board.
        view: the face that is shown.
        asked: names of :data:`ASKABLE`; others are passed over.
        scale: size of letters and thin details against their size on a board 640 mm wide.
    """
    known = {f"part-{p.id}": p for p in board.placements}
    wanted = [name for name in ASKABLE[view.face] if name in asked]
    rooms = rooms_of(board, view) if "rooms" in wanted else {}
    found: list[Group] = []
    for group in groups:
        if group.name == "parts":
            inner = (_part(item, known, view, wanted, rooms) for item in group.items)
            group = replace(group, items=tuple(inner))
            found += [hands(board, scale)] if "hands" in wanted else []
        found.append(group)
    return tuple(found)


def _part(
    item: Item, known: dict[str, Placed], view: Facing, wanted: list[str], rooms: dict[str, tuple[Shape, ...]]
) -> Item:
    placed = known.get(item.name) if isinstance(item, Group) else None
    if placed is None or not isinstance(item, Group):
        return item
    x, y = view.point((placed.x, placed.y))
    data = {**item.data, "at": f"{x:.2f} {-y:.2f} {rim_radius(placed):.2f}"}
    under: list[Item] = [shape_item(view.shape(placed.place(hull)), _GRIP)] if (hull := _hull(placed)) else []
    if not placed.drill:
        return replace(item, items=(*under, *item.items), data=data)
    over: list[Item] = []
    if rooms.get(placed.id):
        shapes = rooms[placed.id]
        fills = tuple(shape_item(shape, _ROOM_FILL) for shape in shapes)
        under.append(Group((*fills, *(shape_item(shape, replace(_ROOM, fill=None)) for shape in shapes)), role="rooms"))
    if not view.mirrored:
        drawn = {each for each in item.items if isinstance(each, Circle | Path)}
        under += [shape_item(h.shape, _COVERED) for h in placed.holes if shape_item(h.shape, HOLE_OPEN) not in drawn]
        if "bodies" in wanted:
            over.append(Group(tuple(_below(placed)), role="bodies"))
    elif "flanges" in wanted and placed.flange is not None:
        over.append(Group((shape_item(view.shape(placed.flange), HIDDEN),), role="flanges"))
    return replace(item, items=(*under, *item.items, *over), data=data)


def _hull(placed: Placed) -> Shape | None:
    """What lies between the holes of a pattern; None for a part, whose own rim is there to take hold of."""
    pattern = placed.part.pattern
    return pattern.hull if pattern is not None and len(pattern.holes) > 1 else None


def _below(placed: Placed) -> Iterator[Item]:
    """What hangs below or is cut from there, as hidden lines."""
    body = placed.body if placed.part.has_body else None
    for shape in (body, placed.nut, placed.bore, placed.pocket):
        if shape is not None:
            yield shape_item(shape, HIDDEN)


def rooms_of(board: ResolvedBoard, view: Facing) -> dict[str, tuple[Shape, ...]]:
    """The room each drilled part needs on a face, by placement: shapes the rim of nothing of its kind may enter.

    On the top face round cut-outs: the web the material asks for without a caution. On the underside round bodies,
    plates, counterbores and recesses the gap between bodies, and round nuts the room to turn a spanner. Both with
    the allowance of drilling of both parts, so that a part clears another exactly as the rules judge it.
    """
    loose = 2 * board.tooling.drilling.position
    if view.mirrored:
        layout = layout_of(board, catalogue())
        gap, spanner = catalogue().rule("body-gap") + loose, catalogue().rule("spanner-room") + loose
        found: dict[str, tuple[Shape, ...]] = {}
        things = layout.below
        for row, (owner, kind) in enumerate(zip(things.owner.tolist(), things.kind.tolist(), strict=True)):
            core = things.shapes.points[row][: int(things.shapes.counts[row])].tolist()
            shape = Shape(tuple((x, y) for x, y in core), float(things.shapes.radii[row]))
            room = view.shape(shape.grown(spanner if kind == NUT else gap))
            found[layout.ids[owner]] = (*found.get(layout.ids[owner], ()), room)
        return found
    widths = np.array([hole.diameter for p in board.drilled for hole in p.holes], np.float64)
    webs = iter(web_limits(board.layers, widths)[1].required.tolist())
    return {p.id: tuple(hole.shape.grown(next(webs) + loose) for hole in p.holes) for p in board.drilled}
