"""Places that draw a dragged part to them, and the thin lines that show which of them has taken hold.

A part can come into line with another's centre or rim, on the centre line, and to an even space in a row. The places
are exact; on none of them a part lands on the grid.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import chain, pairwise
from typing import Literal

from msgspec import Struct

from app.drafting.facing import Facing
from app.drafting.forms import Box
from app.drafting.hardware.part_letters import main_shape, rim_radius
from app.drafting.labels.tags import TagSpace, around, tag, tag_size
from app.drafting.words import length, unit_of
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import FLAG, FLAG_TEXT, TEAL_DEEP
from app.scene.primitives import Item, Line, Point, Style

REACH = 24.0
"""Places farther off than this are not named to a screen, which asks again before they matter [mm]."""

HOLD = 3.0
"""A place draws a part to it from no farther [mm]: beyond, a hand that wants to be elsewhere would be in its power."""

HELD = 0.011
"""A part this near to a place was drawn to it [mm]: less than a pointer or a grid tells apart."""

_GUIDE = Style(stroke=TEAL_DEEP, width=0.4, dash=(2.4, 1.6), role="guide")
_GRID = Style(stroke=TEAL_DEEP, width=0.4, role="guide grid-line")
_SAME_RIM = 0.5  # mm between rim and centre line-up, below which only the centres are named
_ROW = 12.0  # mm from front to back within which parts stand in one row

Axis = Literal["x", "y"]


class Snap(Struct, frozen=True):
    """A place that draws a part to it.

    Args:
        axis: whether it sets the part's x or its y.
        at: where the part's centre is then [mm].
        words: what it is.
        line: where its line is drawn [mm]; as ``at`` where it goes through the centre.
        others: centres of the parts it comes from [mm].
    """

    axis: Axis
    at: float
    words: str
    line: float
    others: tuple[Point, ...]


def snaps(board: ResolvedBoard, held: Placed, moving: Collection[str], reach: float = REACH) -> tuple[Snap, ...]:
    """Places near a part, the nearest first; of several at one place only the first kind is named.

    Args:
        board: the board with the part where it is now.
        held: the part.
        moving: ids of what is moved with it, which draws nothing.
        reach: how far from the part is near [mm].
    """
    gone = {held.id, *moving}
    rest = _near_first([p for p in board.placements if p.id not in gone], held)
    found: dict[tuple[str, int], Snap] = {}
    lines = (_middle(board), _centres(rest, held, reach), _even(rest, held, board, reach), _rims(rest, held, reach))
    for snap in chain(*lines):
        if abs(snap.at - _of(held, snap.axis)) <= reach:
            found.setdefault((snap.axis, round(snap.at * 100)), snap)
    return tuple(sorted(found.values(), key=lambda s: (abs(s.at - _of(held, s.axis)), s.axis)))


def landing(snaps_near: Sequence[Snap], held: Placed) -> dict[Axis, Snap]:
    """The place that holds a part on each axis, if one does."""
    taken: dict[Axis, Snap] = {}
    for snap in snaps_near:
        if abs(snap.at - _of(held, snap.axis)) <= HELD:
            taken.setdefault(snap.axis, snap)
    return taken


def on_grid(held: Placed, taken: Collection[Axis], grid: float) -> tuple[Snap, ...]:
    """The lines of the grid that a part stands on, for each axis on which no other place holds it.

    Args:
        held: the part.
        taken: axes on which it was drawn to a place.
        grid: step of the grid; 0 if it draws nothing [mm].
    """
    axes: tuple[Axis, ...] = ("x", "y") if grid > 0 else ()
    lines = {axis: round(_of(held, axis) / grid) * grid for axis in axes if axis not in taken}
    return tuple(Snap(axis, at, "", at, ()) for axis, at in lines.items() if abs(at - _of(held, axis)) <= HELD)


def guides(
    board: ResolvedBoard, held: Placed, taken: Collection[Snap], *, view: Facing, scale: float, avoid: Sequence[Box]
) -> tuple[Item, ...]:
    """A thin line and words for each place that has taken hold; for the grid two short strokes beside the part."""
    x0, y0, x1, y1 = board.outline.bounds
    discs = [(view.x(p.x), p.y, rim_radius(p)) for p in board.placements]
    free = TagSpace((x0, y0, x1, y1 + 6 * scale), discs, list(avoid), disc_cost=120.0)
    items: list[Item] = []
    for snap in taken:
        if not snap.words:
            items += _strokes(snap, held, view, scale)
            continue
        ends = _ends(snap, held, board)
        a, b = view.point(ends[0]), view.point(ends[1])
        items.append(Line(a, b, _GUIDE))
        size = 5.4 * scale
        far = max((a, b), key=lambda p: abs(p[0] - view.x(held.x)) + abs(p[1] - held.y))
        box = free.best(around(far, 0.6 * scale, tag_size(snap.words, size)))
        items += tag(box, snap.words, size, FLAG, FLAG_TEXT)
    return tuple(items)


def _strokes(snap: Snap, held: Placed, view: Facing, scale: float) -> list[Item]:
    """Where a line of the grid goes in under a part and comes out again."""
    near, far = rim_radius(held) + 1.2 * scale, rim_radius(held) + 6.0 * scale
    x, y = view.x(held.x), held.y
    if snap.axis == "x":
        return [Line((x, y + s * near), (x, y + s * far), _GRID) for s in (1, -1)]
    return [Line((x + s * near, y), (x + s * far, y), _GRID) for s in (1, -1)]


def _ends(snap: Snap, held: Placed, board: ResolvedBoard) -> tuple[Point, Point]:
    """From beyond the held part to beyond the farthest it lines up with; the whole depth for the centre line."""
    _, y0, _, y1 = board.outline.bounds
    if not snap.others:
        return (snap.line, y0), (snap.line, y1)
    past = rim_radius(held) + 4.0
    across = snap.axis == "x" and len(snap.others) < 2  # a line-up in x is a line from front to back
    along = [p[1] if across else p[0] for p in (*snap.others, (held.x, held.y))]
    if snap.axis == "y" and len(snap.others) > 1:
        along = [p[1] for p in (*snap.others, (held.x, held.y))]
        return (held.x, min(along) - past), (held.x, max(along) + past)
    low, high = min(along) - past, max(along) + past
    if across:
        return (snap.line, low), (snap.line, high)
    return (low, held.y if snap.axis == "x" else snap.line), (high, held.y if snap.axis == "x" else snap.line)


def _of(placed: Placed, axis: Axis) -> float:
    return placed.x if axis == "x" else placed.y


def _name(placed: Placed) -> str:
    return placed.label or placed.part.kind


def _near_first(rest: Sequence[Placed], held: Placed) -> list[Placed]:
    return sorted(rest, key=lambda p: (p.x - held.x) ** 2 + (p.y - held.y) ** 2)


def _middle(board: ResolvedBoard) -> Iterator[Snap]:
    x0, _, x1, _ = board.outline.bounds
    yield Snap("x", (x0 + x1) / 2, "on the centre line", (x0 + x1) / 2, ())


def _centres(rest: Sequence[Placed], held: Placed, reach: float) -> Iterator[Snap]:
    for other in rest:
        if abs(other.x - held.x) <= reach:
            yield Snap("x", other.x, f"in line with {_name(other)}", other.x, ((other.x, other.y),))
        if abs(other.y - held.y) <= reach:
            yield Snap("y", other.y, f"in line with {_name(other)}", other.y, ((other.x, other.y),))


def _rims(rest: Sequence[Placed], held: Placed, reach: float) -> Iterator[Snap]:
    mine = main_shape(held).bounds
    sides: tuple[tuple[int, Axis], ...] = ((0, "x"), (2, "x"), (1, "y"), (3, "y"))
    for other in rest:
        theirs = main_shape(other).bounds
        for side, axis in sides:
            off = theirs[side] - mine[side]
            if abs(off) > reach:
                continue
            at = _of(held, axis) + off
            if abs(at - _of(other, axis)) > _SAME_RIM:
                yield Snap(axis, at, f"hole edges in line with {_name(other)}", theirs[side], ((other.x, other.y),))


def _even(rest: Sequence[Placed], held: Placed, board: ResolvedBoard, reach: float) -> Iterator[Snap]:
    """Even spaces in the row, and in the column, that the part is in."""
    axes: tuple[tuple[Axis, Axis], ...] = (("x", "y"), ("y", "x"))
    for axis, across in axes:
        row = sorted((p for p in rest if abs(_of(p, across) - _of(held, across)) <= _ROW), key=lambda p: _of(p, axis))
        for a, b in pairwise(row):
            apart = _of(b, axis) - _of(a, axis)
            if apart < 2 * _SAME_RIM:
                continue
            both, mine = ((a.x, a.y), (b.x, b.y)), _of(held, axis)
            for at in (_of(b, axis) + apart, _of(a, axis) - apart):
                if abs(at - mine) <= reach:
                    yield Snap(axis, at, f"evenly spaced, {length(apart, unit_of(board))}", at, both)
            middle = (_of(a, axis) + _of(b, axis)) / 2
            if abs(middle - mine) <= reach:
                yield Snap(axis, middle, f"midway between {_name(a)} and {_name(b)}", middle, both)
