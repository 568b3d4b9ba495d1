"""Live measures of one part: from both datum edges and to its nearest neighbour."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from app.drafting.facing import Facing
from app.drafting.forms import Box
from app.drafting.hardware.part_letters import main_shape, rim_radius
from app.drafting.labels.tags import Floats, TagSpace, around, boxes_at, leader, tag, tag_size
from app.drafting.words import length, unit_of
from app.geometry.clearance import shape_set
from app.geometry.shapes import Shape
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import FLAG, FLAG_TEXT, MEASURE
from app.scene.primitives import Group, Item, Line, LineTo, Path, Point

_FAR = 6.0  # what a figure one line of letters farther from its measure is worth in covering others
_PART = 120.0  # a figure is led any distance rather than cover a part, if there is a free place at all
_CROSSED = 25.0  # what a line to a figure costs for each part it crosses
_LED = 0.7  # a figure this many lines of letters away from its measure is led to it
_OFF = 0.4  # the same for one that stands on its line
_ALONG = (0.0, 1.3, -1.3, 2.4, -2.4, 4.0, -4.0, 6.0, -6.0)
_ACROSS = (1.6, -1.6, 2.6, -2.6, 4.0, -4.0, 6.0, -6.0, 9.0, -9.0)


def dimensions(
    board: ResolvedBoard,
    placement_id: str,
    *,
    view: Facing,
    scale: float = 1.0,
    moved: Point = (0.0, 0.0),
    avoid: Sequence[Box] = (),
    to: str = "",
    full: bool = False,
) -> Group:
    """The group ``dims``: centre from the left and front edges, and the material left to the nearest hole.

    Args:
        board: the board.
        placement_id: the part to measure; an unknown one gives an empty group.
        view: the face that is shown.
        scale: size of figures against their size on a board 640 mm wide.
        avoid: rectangles already covered with words [mm].
        moved: by how much the part has been dragged since [mm].
        to: id of the part to measure to instead of the nearest; then all distances between them are told.
        full: whether to tell them of the nearest as well.
    """
    placed = board.placed(placement_id)
    if placed is None:
        return Group((), name="dims", role="dims")
    x0, y0, x1, y1 = board.outline.bounds
    at = (placed.x + moved[0], placed.y + moved[1])
    others = [p for p in board.placements if p.id != placed.id]
    taken = TagSpace(
        (min(x0, view.x(at[0])), y0, max(x1, view.x(at[0])), y1),
        [(view.x(p.x), p.y, rim_radius(p)) for p in others] + [(view.x(at[0]), at[1], rim_radius(placed))],
        list(avoid),
        below_boxes(others, view),
        _PART,
    )
    items: list[Item] = []
    meant = [p for p in others if p.id == to]
    gap = _nearest(placed, meant or others, moved, off=bool(meant))
    if gap is not None:
        words = _apart(placed, gap[3], moved, gap[2], board) if full or meant else ""
        a, b = view.point(gap[0]), view.point(gap[1])
        items += _measure(a, b, gap[2], board, taken, scale, across=True, words=words)
    left, front = (view.x(x0), at[1]), (view.x(at[0]), y0)
    items += _measure(left, view.point(at), at[0] - x0, board, taken, scale)
    items += _measure(front, view.point(at), at[1] - y0, board, taken, scale)
    return Group(tuple(items), name="dims", role="dims")


def below_boxes(placements: Sequence[Placed], view: Facing) -> list[Box]:
    """Rectangles round bodies and plates where the underside shows them; none on the top face [mm]."""
    if not view.mirrored:
        return []
    return [view.shape(p.plate or p.body).bounds for p in placements]


def _apart(placed: Placed, other: Placed, moved: Point, rims: float, board: ResolvedBoard) -> str:
    """``centres 42 · hole edges 14 · flanges 8 mm``: what lies between two parts."""
    unit = unit_of(board)
    found = [
        ("centres", math.dist((placed.x + moved[0], placed.y + moved[1]), (other.x, other.y))),
        ("hole edges", rims),
    ]
    if placed.flange and other.flange:
        pairs = shape_set([placed.flange.placed(*moved)]).against(shape_set([other.flange]), math.inf)
        found.append(("flanges", float(pairs.distance[0])))
    lines = [f"{name} {length(value, unit)}" for name, value in found]
    return " · ".join([*(text.removesuffix(" mm") for text in lines[:-1]), lines[-1]])


def _nearest(
    placed: Placed, others: list[Placed], moved: Point, *, off: bool = False
) -> tuple[Point, Point, float, Placed] | None:
    """The web to the nearest other hole: a point on either rim, the distance [mm] and whose it is.

    Positions that are not drilled count only if ``off``.
    """
    here = main_shape(placed)
    here = here.placed(*moved)
    others = [p for p in others if p.drill or off]
    shapes = [main_shape(p) for p in others]
    if not shapes:
        return None
    pairs = shape_set([here]).against(shape_set(shapes), math.inf)
    k = min(range(len(pairs)), key=lambda i: (round(float(pairs.distance[i]), 6), int(pairs.second[i])))
    other = shapes[int(pairs.second[k])]
    a, b = _rims(here, other)
    return a, b, float(pairs.distance[k]), others[int(pairs.second[k])]


def _rims(a: Shape, b: Shape) -> tuple[Point, Point]:
    """Where the line between two centres leaves one shape and enters the other; exact for circles."""
    d = math.dist(a.centre, b.centre)
    if d < 1e-6:
        return a.centre, b.centre
    u = ((b.centre[0] - a.centre[0]) / d, (b.centre[1] - a.centre[1]) / d)
    ra, rb = (a.radius if a.is_circle else min(a.size) / 2), (b.radius if b.is_circle else min(b.size) / 2)
    return (
        (a.centre[0] + u[0] * ra, a.centre[1] + u[1] * ra),
        (b.centre[0] - u[0] * rb, b.centre[1] - u[1] * rb),
    )


def _measure(
    a: Point,
    b: Point,
    value: float,
    board: ResolvedBoard,
    taken: TagSpace,
    scale: float,
    *,
    across: bool = False,
    words: str = "",
) -> list[Item]:
    """A measured line with ticks at its ends and its figure on a plate, where it covers least."""
    size = (5.2 if words else 6.2) * scale
    far = _FAR / 3 if words else _FAR  # a long tag has to go farther to cover nothing
    words = words or length(value, unit_of(board))
    w, h = tag_size(words, size)
    d = math.dist(a, b)
    u = ((b[0] - a[0]) / d, (b[1] - a[1]) / d) if d > 1e-9 else (1.0, 0.0)
    off = (-u[1], u[0])
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    boxes, tolls = _places(a, b, (w, h), off, far, across=across)
    box = taken.best(boxes, tolls + _CROSSED * taken.crossed(boxes, middle) if across else tolls)
    tick = 1.8 * scale
    items: list[Item] = [Line(a, b, MEASURE)] if d > 1e-9 else []
    led = leader(box, middle if across else _foot(box, a, b), MEASURE)
    if math.dist(led.a, led.b) > (_LED if across else _OFF) * h:
        items.append(led)
    for p in (a, b):
        end = (p[0] - tick * off[0], p[1] - tick * off[1])
        items.append(Path((p[0] + tick * off[0], p[1] + tick * off[1]), (LineTo(end),), MEASURE))
    return [*items, *tag(box, words, size, FLAG, FLAG_TEXT)]


def _places(a: Point, b: Point, size: Point, off: Point, far: float, *, across: bool) -> tuple[Floats, Floats]:
    """Boxes for a figure, along its line and beside it, then all round its middle; and what going so far costs.

    Returns:
        x0, y0, x1, y1 of each box, shape (n, 4), and what it costs, shape (n,) [mm].
    """
    w, h = size
    side, t = _BESIDE if across else _ON_IT
    cx = a[0] + (b[0] - a[0]) * t + side * h * off[0]
    if across:
        cx += 0.5 * w * off[0] * (side > 0)
    cy = a[1] + (b[1] - a[1]) * t + side * h * off[1]
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    round_it = around(middle, 1.6 * h, size)
    x0, y0, x1, y1 = round_it.T
    led = np.hypot(np.clip(middle[0], x0, x1) - middle[0], np.clip(middle[1], y0, y1) - middle[1])
    tolls = np.concatenate((np.abs(side) - 1.6, led / h - 0.5))
    return np.concatenate((boxes_at(cx, cy, size), round_it)), far * np.maximum(tolls, 0.0)


def _spots(sides: Sequence[float]) -> tuple[Floats, Floats]:
    """How far beside a line, in lines of letters, and at which share of it, the places for a figure are."""
    return np.repeat(sides, len(_SHARES)), np.tile(_SHARES, len(sides))


_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
_ON_IT, _BESIDE = _spots(_ALONG), _spots(_ACROSS)


def _foot(box: Box, a: Point, b: Point) -> Point:
    """The place of the line from ``a`` to ``b`` that is nearest to the middle of a box."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    along, square = (b[0] - a[0], b[1] - a[1]), math.dist(a, b) ** 2
    t = ((x - a[0]) * along[0] + (y - a[1]) * along[1]) / square if square > 1e-18 else 0.0
    t = min(max(t, 0.0), 1.0)
    return (a[0] + t * along[0], a[1] + t * along[1])
