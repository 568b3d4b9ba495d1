"""What words on one page keep clear of: holes, crosses, rims, seams, marks and ruled lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from app.drafting.placer import Ground
from app.paper.layout import Box
from app.paper.registration import ARM, Seam
from app.paper.ruled import RuledLine
from app.paper.stock import Stock
from app.scene.curves import flatten_cubic
from app.scene.metrics import text_box
from app.scene.palette import BASELINE, CENTRE_LINE, SHEET_EDGE
from app.scene.primitives import ArcTo, Circle, CubicTo, Item, Line, LineTo, Path, Point, Text

Segment = tuple[Point, Point]

_SAG = 0.05  # how far a straight piece of a bend may be from it [mm]
_INSET = 0.4  # words keep this far from the edge of the window [mm]


def page_ground(
    stock: Stock, window: Box, ruled: Sequence[Line], seams: Sequence[Line], marks: Sequence[Item]
) -> Ground:
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
    for path in (*stock.template.outline, *(item for item in holes if isinstance(item, Path))):
        lines += rim_segments(path)
    x0, y0, x1, y1 = window
    near = [
        (a, b) for a, b in lines
        if min(a[0], b[0]) <= x1 and max(a[0], b[0]) >= x0 and min(a[1], b[1]) <= y1 and max(a[1], b[1]) >= y0
    ]  # fmt: skip
    return Ground(
        frame=(x0 + _INSET, y0 + _INSET, x1 - _INSET, y1 - _INSET),
        discs=stock.circles(window),
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


def rim_segments(rim: Path) -> list[Segment]:
    """A rim as straight pieces; those of bends are about 3 mm long."""
    found: list[Segment] = []
    here = rim.start
    for step in (*rim.steps, LineTo(rim.start)):
        points = [here]
        if isinstance(step, ArcTo):
            radius, turn = math.dist(here, step.centre), math.radians(step.sweep)
            count = max(2, int(radius * abs(turn) / 3.0))
            start = math.atan2(here[1] - step.centre[1], here[0] - step.centre[0])
            for k in range(1, count):
                angle = start + turn * k / count
                points.append((step.centre[0] + radius * math.cos(angle), step.centre[1] + radius * math.sin(angle)))
        if isinstance(step, CubicTo):
            points += flatten_cubic(here, (step.control1, step.control2, step.end), _SAG)[:-1]
        points.append(step.end)
        found += pairwise(points)
        here = step.end
    return found


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
