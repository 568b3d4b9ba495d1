"""What words on one page keep clear of: holes, crosses, rims, seams, marks and ruled lines."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.labels.placer import Obstacles
from app.paper.sheet.layout import Box
from app.paper.sheet.registration import ARM, Seam
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.shown_in_window import Segment, Stock, rim_segments
from app.scene.metrics import text_box
from app.scene.palette import BASELINE, CENTRE_LINE, SHEET_EDGE
from app.scene.primitives import Circle, Item, Line, Path, Text

_INSET = 0.4  # words keep this far from the edge of the window [mm]


def page_ground(
    stock: Stock, window: Box, ruled: Sequence[Line], seams: Sequence[Line], marks: Sequence[Item]
) -> Obstacles:
    """The ground of the words in a window.

    Args:
        stock: the template.
        window: what of it the page shows [mm].
        ruled: lines to rule on the board.
        seams: lines the sheet is cut along.
        marks: registration marks with their names.
    """
    holes = stock.holes(window)
    lines: list[Segment] = [(line.a, line.b) for line in stock.crosses(window) if isinstance(line, Line)]
    lines += stock.rim_lines(window)
    for path in (item for item in holes if isinstance(item, Path)):
        lines += rim_segments(path)
    x0, y0, x1, y1 = window
    near = [
        (a, b) for a, b in lines
        if min(a[0], b[0]) <= x1 and max(a[0], b[0]) >= x0 and min(a[1], b[1]) <= y1 and max(a[1], b[1]) >= y0
    ]  # fmt: skip
    return Obstacles(
        frame=(x0 + _INSET, y0 + _INSET, x1 - _INSET, y1 - _INSET),
        discs=[(x, y, r) for x, y, r in stock.circles(window).tolist()],
        rims=[(*item.centre, item.radius) for item in holes if isinstance(item, Circle)],
        boxes=[box for item in marks for box in _mark_boxes(item)],
        lines=[*near, *((line.a, line.b) for line in seams)],
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


def _mark_boxes(item: Item) -> list[Box]:
    """Rectangles round what a registration mark is made of."""
    if isinstance(item, Text):
        xs, ys = zip(*text_box(item), strict=True)
    elif isinstance(item, Line):
        xs, ys = zip(item.a, item.b, strict=True)
    elif isinstance(item, Path):
        xs, ys = zip(item.start, *(step.end for step in item.steps), strict=True)
    else:
        return []
    return [(min(xs) - 0.4, min(ys) - 0.4, max(xs) + 0.4, max(ys) + 0.4)]
