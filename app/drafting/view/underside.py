"""The underside, mirrored as it lies on the bench when the board is turned over: what hangs below, and on what."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.facing import Facing, facing
from app.drafting.forms import shape_item
from app.drafting.hardware.fittings import terminal_rows
from app.drafting.hardware.part_faces import SCREW
from app.drafting.hardware.part_letters import LETTER, letter, letter_below
from app.drafting.reading import reading_order
from app.drafting.view.plan import blank, hold_of, part_group
from app.drafting.view.state_marks import not_drilled
from app.geometry.shapes import Shape
from app.model.part import NutFixing, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.scene.curves import at_angle
from app.scene.palette import (
    BODY,
    CENTRE_LINE,
    COUNTERBORE,
    HOLE_OFF,
    HOLE_OPEN,
    LIGHT,
    NUT,
    TEXT,
    TEXT_MUTED,
)
from app.scene.primitives import Circle, Group, Item, Line, Style, Text

PLATE_UNDER = Style(stroke=LIGHT["body-edge"], width=0.35, fill="#c3c6c8", opacity=0.9, role="plate-under")
BORE = Style(stroke=COUNTERBORE.stroke, width=0.35, fill="#bd9d6b", opacity=0.75, role="bore")
POCKET = Style(stroke=COUNTERBORE.stroke, width=0.35, fill="#c6a674", opacity=0.85, role="pocket")
SPANNER = Style(stroke=LIGHT["body-edge"], width=0.3, dash=(1.6, 1.0), role="spanner-room")
TERMINAL = Style(stroke=LIGHT["body-edge"], width=0.9, role="terminal")


def underside(
    board: ResolvedBoard,
    *,
    selected: frozenset[str] = frozenset(),
    hand: str = "",
    scale: float = 1.0,
    spanner_room: float | None = None,
) -> tuple[Group, ...]:
    """The underside: groups ``board`` and ``parts``, x' = width − x.

    Args:
        board: the board.
        selected: ids of placements to draw a ring round.
        hand: id of the one of them that is in hand.
        scale: size of letters and thin details against their size on a board 640 mm wide.
        spanner_room: room to turn a nut, drawn round each as a dashed circle; None for the catalogue's [mm].
    """
    view = facing(board, "under")
    room = catalogue().rule("spanner-room") if spanner_room is None else spanner_room
    parts = tuple(
        part_group(p, _below(p, view, scale, room), board, hold_of(p, selected, hand), scale, at_x=view.x(p.x))
        for p in reading_order(board.placements, view)
    )
    x0, y0, x1, y1 = board.outline.bounds
    middle, over = (x0 + x1) / 2, 7.0 * scale
    centre = Line((middle, y0 - over), (middle, y1 + over), CENTRE_LINE)
    return (Group((*blank(board, view, scale), centre), name="board"), Group(parts, name="parts"))


def heading(board: ResolvedBoard, scale: float) -> tuple[Item, ...]:
    """The word that says this is the mirror image, and which edge is which."""
    x0, y0, x1, _ = board.outline.bounds
    size = 6.0 * scale
    y = y0 - 2.0 * size
    return (
        Text((x0, y), "UNDERSIDE, mirrored", 1.15 * size, TEXT, "start", bold=True),
        Text((x1, y), "left edge on this side", size, TEXT_MUTED, "end"),
    )


def _below(placed: Placed, view: Facing, scale: float, spanner_room: float) -> tuple[Item, ...]:
    at = view.point((placed.x, placed.y))
    if not placed.drill:
        return (
            *(item for h in placed.holes for item in not_drilled(view.shape(h.shape).centre, min(h.shape.size) / 2)),
            *(shape_item(view.shape(h.shape), HOLE_OFF) for h in placed.holes),
            *letter(at, placed.label, LETTER * scale, 20.0, TEXT_MUTED),
        )
    if placed.part.is_pattern:
        holes = tuple(shape_item(view.shape(h.shape), HOLE_OPEN) for h in placed.holes)
        return (*holes, *letter(view.point(letter_below(placed, scale)), placed.label, 0.75 * LETTER * scale, 40.0))
    body = view.shape(placed.body)
    items: list[Item] = []
    if placed.pocket is not None:
        items.append(shape_item(view.shape(placed.pocket), POCKET))
    if placed.bore is not None:
        items.append(shape_item(view.shape(placed.bore), BORE))
    if placed.plate is not None and placed.part.mount == "under":
        items.append(shape_item(view.shape(placed.plate), PLATE_UNDER))
    items += [shape_item(view.shape(h.shape), HOLE_OPEN) for h in placed.holes]
    items += _nut(placed, view, spanner_room)
    items.append(shape_item(body, BODY))
    items += terminal_rows(body) if placed.part.encoder else _terminals(placed, body)
    items += _screws(placed, view)
    items += letter(body.centre, placed.label, LETTER * scale, 1.7 * min(body.size) / 2)
    return tuple(items)


def _nut(placed: Placed, view: Facing, spanner_room: float) -> list[Item]:
    fixing = placed.part.fixing
    if not isinstance(fixing, NutFixing):
        return []
    at = view.point((placed.x, placed.y))
    corners = tuple(at_angle(at, fixing.nut_width / 2, view.angle(placed.angle) + 60.0 * k) for k in range(6))
    items: list[Item] = [shape_item(Shape(corners, 0.0), NUT)]
    if spanner_room > 0:
        items.insert(0, Circle(at, fixing.nut_width / 2 + spanner_room, SPANNER))
    return items


def _terminals(placed: Placed, body: Shape) -> list[Item]:
    wiring = placed.part.wiring
    if wiring is None:
        return []
    (cx, cy), (w, h) = body.centre, body.size
    half = min(0.22 * w, 6.0)
    y = cy - 0.3 * h
    return [Line((cx + s * half - 1.6, y), (cx + s * half + 1.6, y), TERMINAL) for s in (-1, 1)]


def _screws(placed: Placed, view: Facing) -> list[Item]:
    fixing = placed.part.fixing
    if not isinstance(fixing, ScrewFixing):
        return []
    head = fixing.screw_diameter * (0.9 if fixing.side == "under" else 0.5)
    return [Circle(view.point(p), max(head, 1.0), SCREW) for p in placed.screws]
