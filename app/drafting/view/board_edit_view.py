"""The board itself to be changed: its outline large with every edge measured, its parts faint, and its handles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from app.drafting.facing import facing
from app.drafting.forms import Box, shape_item
from app.drafting.hardware.part_faces import cap_radius
from app.drafting.hardware.part_letters import main_shape, seen_shapes
from app.drafting.labels.tags import TagSpace, tag, tag_size
from app.drafting.view.board_handles import MOST_DRAWN, Handle, handle_groups, handles_of
from app.drafting.view.board_view import line_weight, view_scale
from app.drafting.view.finding_marks import halos
from app.drafting.view.plan import blank
from app.drafting.view.state_marks import not_drilled
from app.drafting.weights import weighted
from app.drafting.words import bare, exact, unit_of
from app.fit.finding import Finding
from app.geometry.outline import Corner, Outline
from app.model.resolved import ResolvedBoard
from app.scene.metrics import CAP_HEIGHT
from app.scene.palette import FLAG, FLAG_TEXT, HOLE_OFF, LIGHT, MEASURE, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Point, Scene, Style, Text
from app.values import replace

GROUPS: Final = ("board-shape", "board-marks", "board-dims")
"""Names of the groups that follow a handle while it is dragged."""

_FAINT = Style(stroke=LIGHT["cap-edge"], width=0.25, fill=LIGHT["cap"], opacity=0.6, role="faint")
_SIZE = Style(stroke=LIGHT["muted"], width=0.35, role="size-line")
_PLATE = Style(stroke=None, fill=LIGHT["page"], role="size-plate")
_WORDS = Style(stroke=None, fill=LIGHT["ink"], role="size-words")
_SET_BACK_PLATE, _SET_BACK = (replace(style, role=f"{style.role} setback") for style in (_PLATE, _WORDS))
_INNER = Style(stroke=None, fill=LIGHT["ink"], role="inner-words")
_OFF: Final = 13.0  # of the sizes of edges from the rim, at full scale [mm]
_OVERALL: Final = 27.0  # of those of the whole board
_AROUND: Final = 42.0  # room in front of the board, and most of it behind
_BESIDE: Final = 54.0  # room at its sides, for the words of a set-back corner beside the handle
_HANDLE: Final = 5.0  # half of the square round a handle that words keep out of
_ASIDE: Final = 0.7  # an edge whose normal has this much of it sideways has its words at its side
_COVERED: Final = 120.0  # words are led farther rather than stand on a handle
_SQUARE: Final = 1e-6  # mm: an edge nearer to upright or level than this is so


def board_sheet(board: ResolvedBoard, findings: Sequence[Finding], held: str) -> Scene:
    """The board with handles: groups ``board-shape``, ``board-parts``, ``board-marks``, ``board-dims``, ``handles``.

    Args:
        board: the board.
        findings: what is wrong, as far as it is to be marked.
        held: name of the handle in hand; empty for none.
    """
    scale = view_scale(board)
    x0, y0, x1, y1 = board.outline.bounds
    shown = handles_of(board, held, scale)
    shape, marks, dims = follower_groups(board, findings, held)
    parts = Group(tuple(_parts(board, scale)), name="board-parts")
    handles = Group(handle_groups(shown, held, scale), name="handles")
    around, beside = _AROUND * scale, _BESIDE * scale
    return Scene(
        x0 - beside,
        y0 - around,
        x1 + beside,
        y1 + 0.8 * around,
        weighted((shape, parts, marks, dims, handles), line_weight(scale)),
        title=f"{board.name} with handles",
    )


def follower_groups(
    board: ResolvedBoard, findings: Sequence[Finding], held: str, shift: Point = (0.0, 0.0)
) -> tuple[Group, Group, Group]:
    """What follows a handle while it is dragged: shape, marks and sizes, their names those of :data:`GROUPS`.

    Args:
        board: the board as it would be.
        findings: what is to be marked.
        held: name of the handle in hand.
        shift: how much farther everything is from the datum edges than on the page, which stays where it is [mm].
    """
    scale, view = view_scale(board), facing(board, "top")
    back, far = (-shift[0], -shift[1]), _HANDLE * scale
    middles = (handle.at for handle in handles_of(board, held, scale))
    handles = [(x - far, y - far, x + far, y + far) for x, y in middles]
    marks = halos(board, findings, view=view, scale=scale, avoid=handles)
    found = (blank(board, view, scale), (marks,), _sizes(board, held, scale, handles))
    inner = (Group(tuple(items), shift=back) for items in found)
    a, b, c = (Group((group,), name=name) for group, name in zip(inner, GROUPS, strict=True))
    return a, b, c


def handle_place(board: ResolvedBoard, held: str, scale: float, shift: Point = (0.0, 0.0)) -> Point | None:
    """Where a handle is on the page whose datum corner ``shift`` tells; None if it is gone [mm]."""
    found = next((h for h in handles_of(board, held, scale) if h.name == held), None)
    return (found.at[0] - shift[0], found.at[1] - shift[1]) if found else None


def _parts(board: ResolvedBoard, scale: float) -> Iterator[Item]:
    for placed in board.placements:
        yield from (shape_item(each, _FAINT if placed.drill else HOLE_OFF) for each in seen_shapes(placed))
        if not placed.drill:
            shape = placed.flange or main_shape(placed)
            yield from not_drilled(shape.centre, min(shape.size) / 2)
        if placed.label:
            size = min(7.0 * scale, 0.9 * cap_radius(placed))
            at = (placed.x, placed.y - CAP_HEIGHT * size / 2)
            yield Text(at, placed.label, size, TEXT_MUTED, "middle")


def _sizes(board: ResolvedBoard, held: str, scale: float, handles: Sequence[Box]) -> tuple[Item, ...]:
    x0, y0, x1, y1 = board.outline.bounds
    around, beside = _AROUND * scale, _BESIDE * scale
    taken = TagSpace((x0 - beside, y0 - around, x1 + beside, y1 + around), soft=handles, soft_cost=_COVERED)
    rims = (board.outline, *board.openings)
    items: list[Item] = []
    if len(board.outline.corners) <= MOST_DRAWN:
        items += _edge_sizes(board, taken, scale)
    items += _overall(board, taken, scale)
    if len(board.outline.corners) <= MOST_DRAWN:
        items += _easings(board, taken, scale)
        items += _numbers(board.outline, scale)
    unit = unit_of(board)
    size = 5.0 * scale
    for ring in rims[1:]:
        a, b, c, d = ring.bounds
        said = f"{bare(c - a, unit)} × {exact(d - b, unit)}"
        # Below the handles of its front edge.
        items.append(Text(((a + c) / 2, b - _HANDLE * scale - size), said, size, _INNER, "middle"))
    handle = next((h for h in handles_of(board, held, scale) if h.name == held), None) if held else None
    if handle is not None and handle.kind != "edge":
        items += _from_datum(board, _corner_of(board, handle), taken, scale)
    return tuple(items)


def _edge_sizes(board: ResolvedBoard, taken: TagSpace, scale: float) -> Iterator[Item]:
    """Each edge of the rim measured beside it: its length, or run × rise of a slope."""
    unit = unit_of(board)
    for a, b in _edges(board.outline):
        across, along = abs(b.x - a.x), abs(b.y - a.y)
        level = min(across, along) < _SQUARE
        words = exact(max(across, along), unit) if level else f"{bare(across, unit)} × {exact(along, unit)}"
        yield from _measured(a, b, words, _OFF * scale, taken, scale)


def _overall(board: ResolvedBoard, taken: TagSpace, scale: float) -> Iterator[Item]:
    """The whole width and depth, where no edge has them."""
    x0, y0, x1, y1 = board.outline.bounds
    unit = unit_of(board)
    many = len(board.outline.corners) > MOST_DRAWN
    lengths = [] if many else [(abs(b.x - a.x), abs(b.y - a.y)) for a, b in _edges(board.outline)]
    if not any(abs(across - (x1 - x0)) < _SQUARE and along < _SQUARE for across, along in lengths):
        yield from _measured(Corner(x0, y0), Corner(x1, y0), exact(x1 - x0, unit), _OVERALL * scale, taken, scale)
    if not any(abs(along - (y1 - y0)) < _SQUARE and across < _SQUARE for across, along in lengths):
        yield from _measured(Corner(x0, y1), Corner(x0, y0), exact(y1 - y0, unit), _OVERALL * scale, taken, scale)


def _measured(a: Corner, b: Corner, words: str, off: float, taken: TagSpace, scale: float) -> Iterator[Item]:
    """A line beside an edge of a ring that goes anticlockwise, on its outer side, with ticks and words."""
    length = math.dist((a.x, a.y), (b.x, b.y))
    ux, uy = (b.x - a.x) / length, (b.y - a.y) / length
    nx, ny = uy, -ux
    size, tick = 5.4 * scale, 2.0 * scale
    p, q = (a.x + off * nx, a.y + off * ny), (b.x + off * nx, b.y + off * ny)
    yield Line(p, q, _SIZE)
    for end in (p, q):
        yield Line(
            (end[0] - tick * (ux + nx) / 2, end[1] - tick * (uy + ny) / 2),
            (end[0] + tick * (ux + nx) / 2, end[1] + tick * (uy + ny) / 2),
            _SIZE,
        )
    w, h = tag_size(words, size)
    clear = max(0.0, w * abs(nx) / 2 + 5.0 * scale - off)  # so that a plate does not cover the rim it is about
    boxes: list[Box] = []
    tolls: list[float] = []
    for far in (0.0, 1.1, 2.2):
        for t in (0.5, 0.36, 0.64, 0.22, 0.78):
            cx = p[0] + (q[0] - p[0]) * t + clear * nx + far * nx * (w if abs(nx) > abs(ny) else h)
            cy = p[1] + (q[1] - p[1]) * t + far * ny * h
            boxes.append((cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2))
            tolls.append(6.0 * far + 2.0 * abs(t - 0.5))
    side = " on-left" if nx < -_ASIDE else " on-right" if nx > _ASIDE else ""
    plate, ink = (replace(style, role=style.role + side) for style in (_PLATE, _WORDS))
    yield from tag(taken.best(boxes, tolls), words, size, plate, ink)


def _easings(board: ResolvedBoard, taken: TagSpace, scale: float) -> Iterator[Item]:
    """How each set-back corner of the rim is set back, outside it."""
    unit, corners = unit_of(board), board.outline.corners
    size = 4.8 * scale
    for i, corner in enumerate(corners):
        if corner.setback is None:
            continue
        before, after = corner.setback
        even = abs(before - after) < _SQUARE
        words = f"set back {exact(before, unit)}" if even else f"set back {bare(before, unit)} × {exact(after, unit)}"
        ox, oy = _outward(corners[i - 1], corner, corners[(i + 1) % len(corners)])
        w, h = tag_size(words, size)
        boxes = []
        # Beside the handle of the corner first, then ever farther out.
        for aside, far in ((0.4, 8.0), (1.0, 7.2), (1.0, 10.0), (0.4, 14.0), (0.4, 20.0), (0.4, 26.0)):
            cx = corner.x + ox * far * scale + (w / 2 if ox > 0.3 else -w / 2 if ox < -0.3 else 0.0) * aside
            cy = corner.y + oy * far * scale
            boxes.append((cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2))
        yield from tag(taken.best(boxes, [0.0, 1.0, 2.0, 3.0, 6.0, 9.0]), words, size, _SET_BACK_PLATE, _SET_BACK)


def _numbers(outline: Outline, scale: float) -> Iterator[Item]:
    """The number of each corner of the rim inside it, as the list beside the drawing has them."""
    corners, size = outline.corners, 5.4 * scale
    for i, corner in enumerate(corners):
        before, after = corners[i - 1], corners[(i + 1) % len(corners)]
        x, y = _outward(before, corner, after)
        turn = (corner.x - before.x) * (after.y - corner.y) - (corner.y - before.y) * (after.x - corner.x)
        inward = -1.0 if turn >= 0 else 1.0  # a corner that points into the board has the board outside it
        # An even set-back of a square corner takes √2 − 1 of its offset off the diagonal.
        set_back = (math.sqrt(2) - 1) * min(corner.setback) if corner.setback else 0.0
        far = (13.0 * scale + set_back) * inward
        yield Text((corner.x + far * x, corner.y + far * y - CAP_HEIGHT * size / 2), str(i + 1), size, _INNER, "middle")


def _from_datum(board: ResolvedBoard, at: Point, taken: TagSpace, scale: float) -> Iterator[Item]:
    """How far the thing in hand is from the left and front edges."""
    x0, y0, x1, y1 = board.outline.bounds
    unit, size = unit_of(board), 5.4 * scale
    for a, value, sideways in (((x0, at[1]), at[0] - x0, True), ((at[0], y0), at[1] - y0, False)):
        beside = min(abs(at[1] - y0), abs(at[1] - y1)) if sideways else min(abs(at[0] - x0), abs(at[0] - x1))
        if abs(value) < 6.0 * scale or beside < _SQUARE:
            continue  # nothing to measure, or an edge that is measured already
        yield Line(a, at, MEASURE)
        words = exact(value, unit)
        w, h = tag_size(words, size)
        boxes: list[Box] = []
        for side in (0.0, 1.2, -1.2):
            for t in (0.5, 0.3, 0.7):
                cx = a[0] + (at[0] - a[0]) * t + (0.0 if sideways else side * w / 1.6)
                cy = a[1] + (at[1] - a[1]) * t + (side * h if sideways else 0.0)
                boxes.append((cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2))
        yield from tag(taken.best(boxes), words, size, FLAG, FLAG_TEXT)


def _corner_of(board: ResolvedBoard, handle: Handle) -> Point:
    """The point whose places are typed: of a set-back its corner, of something whole its front-left corner."""
    kind, _, rest = handle.name.partition("-")
    if kind in ("before", "after", "corner"):
        ring, _, index = rest.partition("-")
        corner = (board.outline, *board.openings)[int(ring)].corners[int(index)]
        return (corner.x, corner.y)
    if kind == "opening":
        x0, y0, _, _ = board.openings[int(rest) - 1].bounds
        return (x0, y0)
    x0, y0, _, _ = board.keep_clear[int(rest)].shape.bounds
    return (x0, y0)


def _edges(outline: Outline) -> Iterator[tuple[Corner, Corner]]:
    corners = outline.corners
    return zip(corners, (*corners[1:], corners[0]), strict=True)


def _outward(before: Corner, corner: Corner, after: Corner) -> Point:
    """The direction out of a corner, away from both its edges; that of the normal where they are in line."""
    d1, d2 = math.dist((before.x, before.y), (corner.x, corner.y)), math.dist((after.x, after.y), (corner.x, corner.y))
    x = (corner.x - before.x) / d1 + (corner.x - after.x) / d2
    y = (corner.y - before.y) / d1 + (corner.y - after.y) / d2
    length = math.hypot(x, y)
    return (x / length, y / length) if length > _SQUARE else (0.0, 1.0)
