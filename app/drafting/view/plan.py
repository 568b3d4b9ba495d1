"""The top face as a plan: the board as a thing of its material, and every part on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from app.drafting.facing import Facing, facing
from app.drafting.forms import crossings, outline_path, polyline, shape_item
from app.drafting.hardware.part_faces import top_view
from app.drafting.hardware.part_letters import main_shape, rim_radius
from app.drafting.reading import reading_order
from app.drafting.view.legends import legends
from app.drafting.view.state_marks import locked_badge, selected_ring
from app.drafting.words import part_title, unit_of
from app.geometry.outline import Outline
from app.geometry.shapes import Point
from app.geometry.strips import Strip
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import (
    CENTRE_LINE,
    HIDDEN,
    KEEP_CLEAR,
    LIGHT,
    RAIL,
    TEXT_MUTED,
    grain,
)
from app.scene.palette import board as board_style
from app.scene.primitives import Group, Item, Line, Style, Text

SHADOW = Style(stroke=None, fill="#23272b", opacity=0.13, role="shadow")
_JOINED = 1e-6  # mm
_FLECKS = (1.1, 13.0, 0.7, 21.0, 1.6, 9.0, 0.5, 17.0)
THROUGH = Style(stroke=LIGHT["body-edge"], width=0.35, fill=LIGHT["page"], role="opening")


Hold = Literal["", "selected", "hand"]
"""How a placement is held: not at all, selected, or selected and the one in hand."""


def plan(
    board: ResolvedBoard,
    *,
    selected: frozenset[str] = frozenset(),
    hand: str = "",
    scale: float = 1.0,
) -> tuple[Group, ...]:
    """The top face: groups ``board``, ``legends`` if there are any, and ``parts``.

    In ``parts`` there is one group ``part-<id>`` for each placement, in reading order, which is that of the Tab key.

    Args:
        board: the board.
        selected: ids of placements to draw a ring round.
        hand: id of the one of them that is in hand.
        scale: size of letters and thin details against their size on a board 640 mm wide.
    """
    view = facing(board, "top")
    rows = reading_order(board.placements, view)
    groups = tuple(part_group(p, top_view(p, scale), board, hold_of(p, selected, hand), scale) for p in rows)
    return (
        Group((*blank(board, view, scale), *_centre(board, scale)), name="board"),
        *legends(board),
        Group(groups, name="parts"),
    )


def part_group(
    placed: Placed,
    items: tuple[Item, ...],
    board: ResolvedBoard,
    hold: Hold,
    scale: float,
    at_x: float | None = None,
) -> Group:
    """What is drawn of one placement, as a group a pointer can take hold of, with the marks of its state."""
    at, rim = (placed.x if at_x is None else at_x, placed.y), rim_radius(placed)
    if hold:
        items = (*items, *selected_ring(at, rim, scale, in_hand=hold == "hand"))
    if placed.locked:
        wide, deep = (placed.flange or main_shape(placed)).size
        knob = placed.part.lever.knob if placed.part.lever else 0.0
        items = (*items, *locked_badge(at, (max(wide, knob) / 2, max(deep, knob) / 2), scale))
    role = " ".join(
        ["part", f"part-{placed.part.kind}"]
        + (["selected"] if hold else [])
        + (["in-hand"] if hold == "hand" else [])
        + ([] if placed.drill else ["undrilled"])
        + (["locked"] if placed.locked else [])
    )
    return Group(
        items,
        name=f"part-{placed.id}",
        data={"placement": placed.id},
        title=part_title(placed, unit_of(board)),
        role=role,
    )


def hold_of(placed: Placed, selected: frozenset[str], hand: str) -> Hold:
    """How a placement is held."""
    if placed.id not in selected:
        return ""
    return "hand" if placed.id == hand else "selected"


def blank(board: ResolvedBoard, view: Facing, scale: float) -> tuple[Item, ...]:
    """The board itself without its parts: face, grain, openings, slots, rails and areas to keep clear."""
    layer = board.layers[-1] if view.mirrored else board.layers[0]
    rim = view.outline(board.outline)
    face = outline_path(rim, board_style(layer.material.family))
    shadow = Group((outline_path(rim, SHADOW),), shift=(0.0, -1.6 * scale))
    return (
        shadow,
        face,
        *_grain(rim, layer.material.family),
        *(outline_path(view.outline(o), THROUGH) for o in board.openings),
        *_edges(board, view),
        *_keep_clear(board, view, scale),
    )


@lru_cache(maxsize=64)
def _grain(rim: Outline, family: str) -> tuple[Line, ...]:
    """Faint lines along the face of wood with a grain and of brushed metal, flecks in pressed fibre; else none."""
    pitch = {"plywood": 11.0, "aluminium": 5.0, "steel": 5.0, "metal": 5.0, "mdf": 6.0}.get(family)
    if pitch is None:
        return ()
    look = grain(family)
    style = Style(stroke=look.stroke, width=0.18, opacity=0.3, role=look.role)
    if family == "mdf":
        style = Style(stroke=look.stroke, width=0.35, dash=_FLECKS, opacity=0.4, role=look.role)
    _, y0, _, y1 = rim.bounds
    pitch = max(pitch, (y1 - y0) / 48)
    lines = []
    for k in range(1, int((y1 - y0) / pitch) + 1):
        y = y0 + k * pitch + (1.7 if k % 3 == 0 else 0.0)
        ends = crossings(rim, y)
        if family == "mdf":  # begun elsewhere on each line, or the flecks would stand in columns
            ends = [min(ends[0] + k * 29.0 % 61.0, ends[-1]), *ends[1:]] if ends else ends
        lines += [Line((a, y), (b, y), style) for a, b in zip(ends[::2], ends[1::2], strict=False)]
    return tuple(lines)


def _edges(board: ResolvedBoard, view: Facing) -> list[Item]:
    """Rails from below as faint strips, moulding slots as dashed lines, as long as they are judged."""
    rail = RAIL if view.mirrored else Style(RAIL.stroke, RAIL.width, (2.0, 1.2), RAIL.fill, 0.3, RAIL.role)
    items: list[Item] = [shape_item(view.shape(strip.shape), rail) for strip in board.rails]
    return items + [polyline([view.point(p) for p in floor], HIDDEN) for floor in _floors(board.slots)]


def _floors(slots: Sequence[Strip]) -> list[list[Point]]:
    """The floors of slots, end to end where one goes on from another round a corner."""
    floors: list[list[Point]] = []
    for slot in slots:
        if floors and math.dist(floors[-1][-1], slot.floor[0]) < _JOINED:
            floors[-1] += slot.floor
        else:
            floors.append(list(slot.floor))
    return [floor for floor in floors if len(floor) > 1]


def _keep_clear(board: ResolvedBoard, view: Facing, scale: float) -> list[Item]:
    items: list[Item] = []
    for area in board.keep_clear:
        shape = view.shape(area.shape)
        here: Face = view.face
        style = KEEP_CLEAR if area.face == here else Style(KEEP_CLEAR.stroke, 0.18, (0.8, 1.6), None, 0.6, "keep-clear")
        items.append(shape_item(shape, style))
        x0, _, x1, y1 = shape.bounds
        size = 4.6 * scale
        if area.label and area.face == here:
            at = ((x0 + x1) / 2, y1 - 1.2 * size)
            items.append(Text(at, f"keep clear: {area.label}", size, TEXT_MUTED, "middle"))
    return items


def _centre(board: ResolvedBoard, scale: float) -> tuple[Item, ...]:
    x0, y0, x1, y1 = board.outline.bounds
    x, over = (x0 + x1) / 2, 7.0 * scale
    return (Line((x, y0 - over), (x, y1 + over), CENTRE_LINE),)
