"""The board as it was really drilled, over what it should be: an arrow says which way a hole came out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.drafting.facing import facing
from app.drafting.forms import polyline, shape_item
from app.drafting.view.plan import blank
from app.geometry.shapes import Point, Shape, circle
from app.model.as_built import CutKey, Mark
from app.model.as_built_board import hole_numbers, old_holes
from app.model.resolved import Placed, ResolvedBoard
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import INK, MUTED, STOP, TEAL_DEEP
from app.scene.primitives import Group, Item, Line, Scene, Style, Text

TIMES: Final = 5.0
"""How many times as long as it is a shift is drawn as an arrow: of a millimetre on a deck nobody would see more."""

_MOST: Final = 2000
"""Holes drawn, those that are drilled first: of more the page would be heavy, and nobody sees them."""


def built_picture(board: ResolvedBoard) -> Scene:
    """The top face with every hole: dashed where it should be, solid where it is, crossed where it is spoilt."""
    x0, y0, x1, y1 = board.outline.bounds
    pen = max(x1 - x0, 1.7 * (y1 - y0)) / 500.0
    rows = sorted(_cuts(board), key=lambda row: board.as_built.latest(row[0]) is None)
    items: list[Item] = [Group(blank(board, facing(board, "top"), 1.0), name="built-board")]
    letters: list[Item] = []
    for key, shape, letter in rows[:_MOST]:
        mark = board.as_built.latest(key)
        items += _drawn(shape, mark, pen)
        letters += _letter(shape, letter, pen, off=mark is not None and mark.distance > 0)
    old = Style(stroke=STOP, width=1.2 * pen, fill="#fbfaf7", role="old-hole")
    items += [shape_item(hole.shape, old) for placed in old_holes(board) for hole in placed.holes]
    air = 4.0 * pen
    title = f"{board.name} as built: dashed where holes should be, solid where they are"
    return Scene(x0 - air, y0 - air, x1 + air, y1 + air, (*items, *letters), title=title)


def _cuts(board: ResolvedBoard) -> Iterator[tuple[CutKey, Shape, str]]:
    """Every hole and screw pilot, and what is bored or routed from below, with its letter; of a pattern with none."""
    for placed in board.drilled:
        alone = len(placed.holes) == 1 and not placed.part.is_pattern
        pocket = _pocket(placed)
        if pocket is not None:
            yield CutKey(placed.id, "pocket"), pocket, ""
        for number, hole in zip(hole_numbers(placed.part), placed.holes, strict=True):
            yield CutKey(placed.id, "hole", number), hole.shape, placed.label if alone else ""
        for number, at in enumerate(placed.screws, 1):
            yield CutKey(placed.id, "screw", number), circle(2.0, *at), ""


def _pocket(placed: Placed) -> Shape | None:
    if placed.counterbore is not None:
        return circle(placed.counterbore.diameter, placed.x, placed.y)
    return placed.pocket if placed.recess is not None else None


def _drawn(shape: Shape, mark: Mark | None, pen: float) -> Iterator[Item]:
    if mark is None:
        yield shape_item(shape, Style(stroke=MUTED, width=0.8 * pen, dash=(2.5 * pen, 2.0 * pen), role="should-be"))
        return
    is_pocket = mark.key.sort == "pocket"
    dx, dy = mark.centre[0] - shape.centre[0], mark.centre[1] - shape.centre[1]
    there = circle(mark.diameter, *mark.centre) if shape.is_circle and not is_pocket else shape.shifted(dx, dy)
    fill = None if is_pocket else "#fbfaf7"
    yield shape_item(there, Style(stroke=INK, width=1.1 * pen, fill=fill, role="drilled"))
    if mark.distance > 0:
        yield shape_item(shape, Style(stroke=TEAL_DEEP, width=0.9 * pen, dash=(2.5 * pen, 2.0 * pen), role="should-be"))
        yield from _arrow(shape.centre, (mark.off[0] * TIMES, mark.off[1] * TIMES), pen)
    if mark.spoilt:
        a0, b0, a1, b1 = there.bounds
        cross = Style(stroke=STOP, width=2.0 * pen, role="spoilt")
        yield Line((a0, b0), (a1, b1), cross)
        yield Line((a0, b1), (a1, b0), cross)


def _arrow(start: Point, by: Point, pen: float) -> Iterator[Item]:
    """An arrow with a full head, no shorter than its head."""
    far = (by[0] ** 2 + by[1] ** 2) ** 0.5
    ux, uy = by[0] / far, by[1] / far
    head = 5.0 * pen
    tip = (start[0] + ux * max(far, head), start[1] + uy * max(far, head))
    neck = (tip[0] - ux * head, tip[1] - uy * head)
    half = 0.4 * head
    style = Style(stroke=STOP, width=1.4 * pen, role="shift")
    full = Style(stroke=None, fill=STOP, role="shift-head")
    yield Line(start, neck, style)
    wings = [(neck[0] - uy * half, neck[1] + ux * half), (neck[0] + uy * half, neck[1] - ux * half)]
    yield polyline([tip, *wings], full, closed=True)


def _letter(shape: Shape, letter: str, pen: float, *, off: bool) -> list[Item]:
    """The letter in its hole, if it has room there; beside the middle where an arrow begins."""
    size = 11.0 * pen
    if not letter or text_width(letter, size, bold=True) > 1.6 * shape.reach:
        return []
    x, y = shape.centre
    style = Style(stroke=None, fill=INK, role="letter")
    low = y - CAP_HEIGHT * size / 2 - (0.55 * shape.reach if off and shape.reach > size else 0.0)
    return [Text((x, low), letter, size, style, "middle", bold=True)]
