"""A small true picture for one step at the board: the face that is up, what is drilled, the cut, and its two measures.

It is drawn for a phone: a mark is never too small to be found, and letters are as large as the picture allows.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from app.drafting.facing import Facing, facing
from app.drafting.forms import shape_item
from app.drafting.view.plan import blank
from app.drafting.words import length, unit_of
from app.geometry.shapes import Point, Shape, circle
from app.model.as_built import CutKey
from app.model.as_built_board import hole_numbers
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import INK, STOP, TEAL_DEEP
from app.scene.primitives import Circle, Group, Item, Line, Scene, Style, Text
from app.shop.board_steps import BoardCut

_LETTERS: Final = 0.062
"""Height of the figures, as a share of the picture's longer side: some 16 px on a phone held upright."""

_MOST: Final = 1500
"""Holes drawn, the nearest to the cut first: of more nobody sees them on a phone, and the page would be heavy."""

_LEAST: Final = 0.012
"""Radius of the ring round a cut at least, as a share of the longer side."""


def step_picture(board: ResolvedBoard, face: Face, cuts: Sequence[BoardCut], *, measured: bool) -> Scene:
    """The board with ``face`` up, and what of it is drilled already.

    Args:
        board: the board.
        face: the face that is up; the underside is drawn mirrored, as it lies there.
        cuts: what is to be made, ringed.
        measured: whether the measures of the first of them are drawn from the datum edges.
    """
    view = facing(board, face)
    x0, y0, x1, y1 = board.outline.bounds
    longer = max(x1 - x0, 1.7 * (y1 - y0))
    size, ring = _LETTERS * longer, _LEAST * longer
    pen = longer / 400.0
    centre = cuts[0].at if cuts else None
    items: list[Item] = [Group(blank(board, view, 1.0), name="step-board"), *_holes(board, view, centre, pen)]
    items += [item for cut in cuts for item in _ringed(board, cut, view, ring, pen)]
    datum, other = (x1, x0) if view.mirrored else (x0, x1)
    margins = {datum: 0.3 * size, other: 0.3 * size}
    low = y0 - 0.4 * size
    if measured and cuts:
        items += _measures(board, cuts[0], view, size, pen)
        margins[datum] = 2.5 * size
        low = y0 - 2.5 * size
    left, right = (margins[x0], margins[x1])
    heading = "underside, mirrored: the left edge is at the right" if view.mirrored else "top face"
    return Scene(
        x0 - left, low, x1 + right, y1 + 0.4 * size, tuple(items),
        title=f"{board.name}, {heading}" + (f"; {cuts[0].name} is ringed" if len(cuts) == 1 else ""),
    )  # fmt: skip


def _holes(board: ResolvedBoard, view: Facing, centre: Point | None, pen: float) -> list[Item]:
    """Every hole: open where it is drilled, a thin ring where it is not, crossed where it is spoilt."""
    rows = [
        (CutKey(placed.id, "hole", number), hole.shape)
        for placed in board.drilled
        for number, hole in zip(hole_numbers(placed.part), placed.holes, strict=True)
    ]
    open_style = Style(stroke=INK, width=0.9 * pen, fill="#fbfaf7", role="drilled")
    to_do = Style(stroke=INK, width=0.7 * pen, dash=(2.5 * pen, 2.0 * pen), role="to-drill")
    items: list[Item] = []
    for key, shape in _near(rows, centre):
        mark = board.as_built.latest(key)
        done = board.as_built.is_drilled(key)
        if mark is None or (mark.work == "pilot" and not mark.spoilt):
            items.append(shape_item(view.shape(shape), to_do))
            if mark is not None:
                items.append(Circle(view.point(mark.centre), 1.6 * pen, open_style))
            continue
        there = circle(mark.diameter, *mark.centre) if shape.is_circle else shape
        items.append(shape_item(view.shape(there), open_style))
        if not done:
            items += _cross(view.shape(there), pen)
    return items


def _near(rows: list[tuple[CutKey, Shape]], centre: Point | None) -> list[tuple[CutKey, Shape]]:
    if len(rows) <= _MOST:
        return rows
    at = np.array([shape.centre for _, shape in rows])
    away = np.hypot(*(at - np.array(centre or at[0])).T)
    return [rows[k] for k in np.argsort(away, kind="stable")[:_MOST].tolist()]


def _cross(shape: Shape, pen: float) -> list[Item]:
    x0, y0, x1, y1 = shape.bounds
    style = Style(stroke=STOP, width=2.2 * pen, role="spoilt")
    return [Line((x0, y0), (x1, y1), style), Line((x0, y1), (x1, y0), style)]


def _ringed(board: ResolvedBoard, cut: BoardCut, view: Facing, least: float, pen: float) -> list[Item]:
    """The cut in teal: its rim, with a ring round it where that is too small to be found, and its centre."""
    style = Style(stroke=TEAL_DEEP, width=2.6 * pen, role="now")
    wide = Style(stroke=TEAL_DEEP, width=1.4 * pen, role="now")
    at = view.point(cut.at)
    placed = board.placed(cut.key.placement)
    shape = Shape((cut.at,), cut.width / 2)
    if placed is not None and cut.work == "recess" and placed.pocket is not None:
        shape = placed.pocket
    if placed is not None and cut.work == "opening":
        shape = next(
            (h.shape for n, h in zip(hole_numbers(placed.part), placed.holes, strict=True) if n == cut.key.number),
            shape,
        )
    items: list[Item] = [shape_item(view.shape(shape), style)]
    if shape.reach < least:
        items.append(Circle(at, 2.2 * least, wide))
    dot = Style(stroke=None, fill=TEAL_DEEP, role="now")
    return [*items, Circle(at, 1.5 * pen, dot)]


def _measures(board: ResolvedBoard, cut: BoardCut, view: Facing, size: float, pen: float) -> list[Item]:
    """From the left datum edge along the front, and from the front datum edge along the left, with their figures."""
    x0, y0, x1, _ = board.outline.bounds
    unit = unit_of(board)
    x, y = view.point(cut.at)
    datum = x1 if view.mirrored else x0
    away = 1.0 if view.mirrored else -1.0
    line = Style(stroke=TEAL_DEEP, width=1.6 * pen, role="measure")
    thin = Style(stroke=TEAL_DEEP, width=0.9 * pen, dash=(3.0 * pen, 2.0 * pen), role="witness")
    below, beside = y0 - 0.7 * size, datum + away * 0.7 * size
    items: list[Item] = [
        Line((x, y), (x, below), thin), Line((datum, y0), (datum, below), thin), Line((datum, below), (x, below), line),
        Line((x, y), (beside, y), thin), Line((datum, y0), (beside, y0), thin), Line((beside, y0), (beside, y), line),
    ]  # fmt: skip
    items += [_tick(end, pen, 3.0) for end in ((datum, below), (x, below), (beside, y0), (beside, y))]
    words = Style(stroke=None, fill=TEAL_DEEP, role="measure-words")
    across, along = length(cut.at[0] - x0, unit), length(cut.at[1] - y0, unit)
    # Centred on its line, but never beyond the picture.
    half, more = text_width(across, size, bold=True) / 2, 2.2 * size
    ends = (x0 - (0.0 if view.mirrored else more), x1 + (more if view.mirrored else 0.0))
    middle = min(max((datum + x) / 2, ends[0] + half), ends[1] - half)
    items.append(Text((middle, below - 1.35 * size), across, size, words, "middle", bold=True))
    cap = CAP_HEIGHT * size
    turned = beside + (0.5 * size + cap if view.mirrored else -0.5 * size)
    items.append(Text((turned, (y0 + y) / 2), along, size, words, "middle", angle=90.0, bold=True))
    return items


def _tick(at: Point, pen: float, half: float) -> Line:
    a, b = (at[0] - half * pen, at[1] - half * pen), (at[0] + half * pen, at[1] + half * pen)
    return Line(a, b, Style(stroke=TEAL_DEEP, width=1.6 * pen, role="measure"))
