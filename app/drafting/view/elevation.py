"""The front elevation, in projection under the plan: every body hangs straight below its hole."""

from __future__ import annotations

import math
from collections.abc import Callable

from app.drafting.facing import Facing
from app.drafting.forms import box_path, crossings
from app.drafting.hardware.elevation_parts import faint, height_above, profile, room_below
from app.drafting.hardware.part_letters import main_shape
from app.drafting.hardware.side_frame import SideFrame, pockets
from app.drafting.words import exact, length, unit_of
from app.model.resolved import Placed, ResolvedBoard
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import DEPTH_LINE, DIMENSION, HIDDEN, LIGHT, PROJECTION, RAIL, TEXT, TEXT_MUTED, grain, layer_cut
from app.scene.primitives import Group, Item, Line, LineTo, Path, Point, Style, Text
from app.values import replace

_GAP = Style(stroke=LIGHT["mdf-edge"], width=0.25, fill=LIGHT["page"], role="cut-hole")
_CAPTION = replace(TEXT_MUTED, role=f"{TEXT_MUTED.role} caption")
_THICK = replace(TEXT, role=f"{TEXT.role} thickness")
_LEVEL = 0.05  # mm: as deep at the front as at the back
_ARROW = Style(stroke=None, fill="#23272b", role="arrow")


def elevation_base(board: ResolvedBoard, scale: float = 1.0) -> float:
    """Height of the elevation's top face in the drawing, so that the tallest lever stays below the plan [mm]."""
    tallest = max((height_above(p, board.thickness) for p in board.placements), default=0.0)
    return board.outline.bounds[1] - 21.0 * scale - tallest


def elevation_foot(board: ResolvedBoard, scale: float = 1.0) -> float:
    """Lowest ordinate of the elevation, its words included [mm]."""
    deepest = max((room_below(p, board.thickness) for p in board.placements), default=0.0)
    _, y0, _, y1 = board.outline.bounds
    free = max(board.free_depth.at(0, y0), board.free_depth.at(0, y1)) if board.free_depth else 0.0
    return elevation_base(board, scale) - board.thickness - max(deepest, free, _rail(board)) - 19.0 * scale


def elevation(board: ResolvedBoard, *, view: Facing, selected: str | None = None, scale: float = 1.0) -> Group:
    """The group ``elevation``, of ``elevation-rest``, which stays while a part is dragged, and ``elevation-row``.

    Args:
        board: the board.
        view: the face of the plan above it; under the underside it is seen from the back.
        selected: the part whose row is cut; others are faint. None shows every part alike.
        scale: size of letters against their size on a board 640 mm wide.
    """
    row = board.placed(selected) if selected else None
    frame = SideFrame(view, elevation_base(board, scale), board.thickness)
    items: list[Item] = []
    # Every other part, those of the row too: what is cut covers them, and the row may change under the hand.
    others = [p for p in board.drilled if p is not row] if row is not None else []
    for placed in others:
        items += faint(profile(placed, frame))
    items += _board(board, frame, row)
    items += _rails(board, frame)
    for placed in others:
        items += _hidden_hole(placed, frame)
    items += _thickness(board, frame, scale)
    rest = Group(tuple(items), name="elevation-rest", role="elevation-rest")
    return Group((rest, elevation_row(board, view=view, selected=selected, scale=scale)), name="elevation")


def elevation_row(board: ResolvedBoard, *, view: Facing, selected: str | None = None, scale: float = 1.0) -> Group:
    """The group ``elevation-row``: what is cut through the selected part, and the free depth there.

    It is of ``elevation-mates``, the others of the row, and ``elevation-hand``, the selected part and all that
    is told of it. Arguments as for :func:`elevation`.
    """
    row = board.placed(selected) if selected else None
    frame = SideFrame(view, elevation_base(board, scale), board.thickness)
    hand = [_met(row, row.y)] if row is not None and row.drill else []
    items = _cut(hand, frame)
    items += _free_depth(board, frame, row, scale)
    items += _caption(board, frame, row, scale)
    if row is not None:
        items += _projection(board, row, frame)
    mates = Group(tuple(_cut(row_mates(board, row), frame)), name="elevation-mates")
    return Group((mates, Group(tuple(items), name="elevation-hand")), name="elevation-row", role="elevation-row")


def row_mates(board: ResolvedBoard, row: Placed | None) -> list[Placed]:
    """The other drilled parts that are cut through with ``row``; all of them without one."""
    if row is None:
        return list(board.drilled)
    return [_met(p, row.y) for p in board.drilled if p is not row and _in_row(p, row)]


def _cut(cut: list[Placed], frame: SideFrame) -> list[Item]:
    return [*_stacked(cut, frame, _hole), *_stacked(cut, frame, profile)]


def _stacked(cut: list[Placed], frame: SideFrame, draw: Callable[[Placed, SideFrame], list[Item]]) -> list[Item]:
    """The drawings of placements, one over another; what the same drawing covers again later is left out.

    Placements of one column look alike from the front. All but the last of what is opaque could not be seen.
    """
    ways = [_look(placed) for placed in cut]
    last = {way: k for k, way in enumerate(ways)}
    made: dict[tuple[object, ...], tuple[list[Item], list[Item]]] = {}
    items: list[Item] = []
    for k, (placed, way) in enumerate(zip(cut, ways, strict=True)):
        if way not in made:
            whole = draw(placed, frame)
            made[way] = whole, [item for item in whole if _shows_through(item)]
        items += made[way][0 if k == last[way] else 1]
    return items


def _look(placed: Placed) -> tuple[object, ...]:
    """What of a placement its drawings from the front depend on."""
    widths = tuple((hole.shape.radius, hole.centre[0] - placed.x) for hole in placed.holes)
    return (id(placed.part), placed.x, placed.angle, placed.counterbore, placed.recess, widths)


def _shows_through(item: Item) -> bool:
    return isinstance(item, Group | Text) or item.style.opacity < 1.0


def _met(placed: Placed, y: float) -> Placed:
    """The part; of a pattern only the holes that are cut through at ``y`` [mm]."""
    if not placed.part.is_pattern:
        return placed
    return replace(placed, holes=tuple(h for h in placed.holes if h.shape.bounds[1] < y < h.shape.bounds[3]))


def _in_row(placed: Placed, row: Placed) -> bool:
    if placed.part.is_pattern:
        return bool(_met(placed, row.y).holes)
    shape = main_shape(placed)
    _, y0, _, y1 = shape.bounds
    return y0 < row.y < y1


def _board(board: ResolvedBoard, frame: SideFrame, row: Placed | None) -> list[Item]:
    """The layers at their true thickness, open where an inner opening is cut."""
    x0, _, x1, _ = board.outline.bounds
    ends = [x0, x1]
    if row is not None:
        found = crossings(board.outline, row.y) or ends
        for opening in board.openings:
            found += crossings(opening, row.y)
        ends = sorted(found)
    items: list[Item] = []
    for a, b in zip(ends[::2], ends[1::2], strict=False):
        left, right = sorted((frame.view.x(a), frame.view.x(b)))
        top = frame.base
        for layer in board.layers:
            low = top - layer.thickness
            items.append(box_path((left, low, right, top), layer_cut(layer.material.family)))
            items += _lines_in(left, low, right, top, layer.material.family)
            top = low
    return items


def _lines_in(x0: float, y0: float, x1: float, y1: float, family: str) -> list[Item]:
    """Plies of plywood as lines, fibres of other wood as scattered dashes; none in plastic and metal."""
    look, height = grain(family), y1 - y0
    if family == "plywood":
        plies = max(3, 2 * round(height / 3.0) + 1)
        return [Line((x0, y0 + height * k / plies), (x1, y0 + height * k / plies), look) for k in range(1, plies)]
    if family in ("acrylic", "aluminium", "steel", "metal"):
        return []
    count = max(3, round(height / 3.0))
    dashed = [Style(look.stroke, 0.3, (3.0 + k % 3, 7.0 + 2.0 * (k % 2)), None, 0.5, look.role) for k in range(count)]
    levels = [y0 + height * (k + 0.5) / count for k in range(count)]
    return [Line((x0 + 1.7 * (k % 4), y), (x1, y), s) for k, (y, s) in enumerate(zip(levels, dashed, strict=True))]


def _hole(placed: Placed, frame: SideFrame) -> list[Item]:
    """A hole that is cut open, and its counterbore."""
    base, under = frame.base, frame.base - frame.thickness
    items: list[Item] = []
    for hole in placed.holes:
        x0, x1 = frame.span(hole.shape)
        items.append(box_path((x0, under, x1, base), _GAP))
    for (x0, x1), depth in pockets(placed, frame):
        items.append(box_path((x0, under, x1, under + depth), _GAP))
    return items


def _hidden_hole(placed: Placed, frame: SideFrame) -> list[Item]:
    base, under = frame.base, frame.base - frame.thickness
    items: list[Item] = []
    for hole in placed.holes[:1]:
        x0, x1 = frame.span(hole.shape)
        items.append(box_path((x0, under, x1, base), HIDDEN))
    for (x0, x1), depth in pockets(placed, frame):
        z = under + depth
        items.append(Path((x0, under), (LineTo((x0, z)), LineTo((x1, z)), LineTo((x1, under))), HIDDEN))
    return items


def _rail(board: ResolvedBoard) -> float:
    return max((strip.width for strip in board.rails), default=0.0)


def _rails(board: ResolvedBoard, frame: SideFrame) -> list[Item]:
    """Rails at left and right as cut, those at front and back dashed; drawn as deep as wide."""
    under = frame.base - frame.thickness
    items: list[Item] = []
    for strip in board.rails:
        a, _, b, _ = strip.shape.bounds
        left, right = sorted((frame.view.x(a), frame.view.x(b)))
        style = RAIL if strip.edge in ("left", "right") else HIDDEN
        items.append(box_path((left, under - strip.width, right, under), style))
    return items


def _thickness(board: ResolvedBoard, frame: SideFrame, scale: float) -> list[Item]:
    """Thickness of the board at its left end."""
    x = min(map(frame.view.x, (board.outline.bounds[0], board.outline.bounds[2]))) - 9.0 * scale
    top, low, size = frame.base, frame.base - frame.thickness, 6.2 * scale
    words = exact(board.thickness, unit_of(board))
    return [
        Line((x, low), (x, top), DIMENSION),
        *(Line((x - 2.0 * scale, y), (x + 2.0 * scale, y), DIMENSION) for y in (low, top)),
        Text((x - 3.5 * scale, (top + low) / 2 - CAP_HEIGHT * size / 2), words, size, _THICK, "end"),
    ]


def _free(board: ResolvedBoard, row: Placed | None) -> tuple[float, float]:
    """Free depth [mm] at the row, or at the shallower of front and back; and where [mm from the front]."""
    if board.free_depth is None:
        return 0.0, 0.0
    plane = board.free_depth
    _, y0, _, y1 = board.outline.bounds
    x = row.x if row else 0.0
    y = row.y if row else min((y0, y1), key=lambda at: plane.at(x, at))
    return plane.at(x, y), y


def _free_depth(board: ResolvedBoard, frame: SideFrame, row: Placed | None, scale: float) -> list[Item]:
    if board.free_depth is None:
        return []
    free, _ = _free(board, row)
    x0, _, x1, _ = board.outline.bounds
    under = frame.base - frame.thickness
    level, size = under - free, 6.2 * scale
    x = x1 + 9.0 * scale
    words = _free_words(board, row)
    return [
        Line((x0, level), (x1 + 12.0 * scale, level), DEPTH_LINE),
        Line((x1, under), (x1 + 12.0 * scale, under), DIMENSION),
        Line((x, level), (x, under), DIMENSION),
        _arrow((x, under), 1.0, scale),
        _arrow((x, level), -1.0, scale),
        Text((x1, _words_level(board, frame, row) - 1.35 * size), words, size, TEXT, "end"),
    ]


def _arrow(tip: Point, up: float, scale: float) -> Path:
    x, y = tip
    foot = y - up * 4.0 * scale
    return Path(tip, (LineTo((x - 1.1 * scale, foot)), LineTo((x + 1.1 * scale, foot))), _ARROW, closed=True)


def _caption(board: ResolvedBoard, frame: SideFrame, row: Placed | None, scale: float) -> list[Item]:
    size = 5.6 * scale
    side = "the back" if frame.view.mirrored else "the front"
    words = f"Seen from {side}."
    if row is not None:
        name = row.label or row.part.name
        words = f"Seen from {side}, cut through {name}, {length(row.y, unit_of(board))} from front."
    x0, _, x1, _ = board.outline.bounds
    beside = text_width(_free_words(board, row), 6.2 * scale) + size if board.free_depth else 0.0
    below = 2.9 if text_width(words, size) + beside > x1 - x0 else 1.5  # of a narrow board under the free depth
    return [Text((x0, _words_level(board, frame, row) - below * size), words, size, _CAPTION)]


def _free_words(board: ResolvedBoard, row: Placed | None) -> str:
    _, y0, _, y1 = board.outline.bounds
    level = board.free_depth is None or abs(board.free_depth.at(0.0, y0) - board.free_depth.at(0.0, y1)) < _LEVEL
    where = " here" if row else "" if level else " at the shallower end"
    return f"{length(_free(board, row)[0], unit_of(board))} free below{where}"


def _words_level(board: ResolvedBoard, frame: SideFrame, row: Placed | None) -> float:
    """Below everything that hangs, so that words cover nothing [mm]."""
    deepest = max((room_below(p, board.thickness) for p in board.placements), default=0.0)
    return frame.base - frame.thickness - max(deepest, _free(board, row)[0], _rail(board))


def _projection(board: ResolvedBoard, row: Placed, frame: SideFrame) -> list[Item]:
    x = frame.view.x(row.x)
    bottom = frame.base + height_above(row, board.thickness)
    top = row.y - main_shape(row).reach
    return [Line((x, top), (x, bottom), PROJECTION)] if math.isfinite(top) and top > bottom else []
