"""What words on one page keep clear of: holes, crosses, rims, seams, marks and ruled lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from app.drafting.labels.placer import Obstacles
from app.drafting.labels.rectangles import around
from app.paper.sheet.layout import Box
from app.paper.sheet.registration import ARM, Seam
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.shown_in_window import Stock
from app.scene.metrics import text_box
from app.scene.palette import BASELINE, CENTRE_LINE, SHEET_EDGE
from app.scene.primitives import Item, Line, Path, Text

_INSET = 0.4  # words keep this far from the edge of the window [mm]
_ABOUT = 0.4  # what stays free about a registration mark and its names [mm]


def page_ground(
    stock: Stock, window: Box, ruled: Sequence[Line], seams: Sequence[Line], marks: Sequence[Box]
) -> Obstacles:
    """The ground of the words in a window.

    Args:
        stock: the template.
        window: what of it the page shows [mm].
        ruled: lines to rule on the board.
        seams: lines the sheet is cut along.
        marks: rectangles round registration marks with their names [mm].
    """
    x0, y0, x1, y1 = window
    cuts = np.array([(line.a, line.b) for line in seams], float).reshape(-1, 2, 2)
    return Obstacles(
        frame=(x0 + _INSET, y0 + _INSET, x1 - _INSET, y1 - _INSET),
        discs=[(x, y, r) for x, y, r in stock.circles(window).tolist()],
        rims=stock.rims(window),
        boxes=marks,
        lines=np.concatenate([stock.pieces(window), cuts]),
        ruled=[(line.a, line.b) for line in ruled],
    )


def ruled_items(ruled: Sequence[RuledLine], window: Box) -> list[Line]:
    """The ruled lines that show in a window, right across it."""
    x0, y0, x1, y1 = window
    lines = []
    for line in ruled:
        if line.axis == "x" and x0 <= line.at <= x1:
            lines.append(Line((line.at, y0), (line.at, y1), CENTRE_LINE))
        elif line.axis == "y" and y0 <= line.at <= y1:
            lines.append(Line((x0, line.at), (x1, line.at), BASELINE))
    return lines


def seam_items(seams: Sequence[Seam]) -> list[Line]:
    """The seams as dashed lines along the stretch they join, broken at the marks."""
    lines = []
    for seam in seams:
        stops = [seam.low]
        for _, at in seam.marks:
            place = at[1] if seam.axis == "x" else at[0]
            stops += [place - ARM - 0.6, place + ARM + 0.6]
        stops.append(seam.high)
        for a, b in zip(stops[::2], stops[1::2], strict=True):
            if b > a and seam.axis == "x":
                lines.append(Line((seam.at, a), (seam.at, b), SHEET_EDGE))
            elif b > a:
                lines.append(Line((a, seam.at), (b, seam.at), SHEET_EDGE))
    return lines


def mark_boxes(items: Iterable[Item]) -> list[Box]:
    """Rectangles round what a registration mark is made of, with what stays free about it [mm]."""
    return [box for item in items for box in _mark_boxes(item)]


def _mark_boxes(item: Item) -> list[Box]:
    if isinstance(item, Line):
        return [around(item.a, item.b, _ABOUT)]
    if isinstance(item, Text):
        xs, ys = zip(*text_box(item), strict=True)
    elif isinstance(item, Path):
        xs, ys = zip(item.start, *(step.end for step in item.steps), strict=True)
    else:
        return []
    return [(min(xs) - _ABOUT, min(ys) - _ABOUT, max(xs) + _ABOUT, max(ys) + _ABOUT)]
