"""What of a template stands in the window of one page: ink, ruled lines, seams, and the words beside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from app.catalogue.load import catalogue
from app.drafting.bare_centres import keep_bare
from app.drafting.drill_template import HOLE_BELOW, Template
from app.drafting.hole_words import set_words
from app.drafting.placer import Box, Placer
from app.paper.registration import ARM, Seam, clear_names, mark_box, mark_items
from app.paper.ruled import RuledLine
from app.paper.sheet_words import edge_words, legend, ruled_words, seam_words
from app.paper.tiling import Tile
from app.scene.bounds import bounds
from app.scene.palette import BASELINE, CENTRE_LINE, PILOT, SHEET_EDGE
from app.scene.primitives import ArcTo, Group, Item, Line, LineTo, Path
from app.units import Unit


def page_ink(
    template: Template,
    tile: Tile,
    ruled: Sequence[RuledLine],
    seams: Sequence[Seam],
    unit: Unit,
) -> tuple[Group, ...]:
    """Groups ``template`` (clipped to the window), ``marks`` and ``words``, all shifted by the tile's offset."""
    window = tile.window
    mine = [s for s in seams if tile in (s.first, s.second)]
    marks = [m for s in mine for m in s.marks]
    clear = catalogue().rule("centre-gap") + 0.3
    centres = [c for c in template.centres if _touches((*c, clear + ARM), window)]
    lines: list[Item] = [*_ruled(ruled, window), *_seam_lines(mine)]
    drawn = keep_bare([*lines, *_within(template.holes, window)], centres, clear)
    arms = _within(template.crosses, window)
    named = [clear_names(mark_items(*m), [c for c in template.circles if _touches(c, window)], arms) for m in marks]
    marked = keep_bare([item for mark in named for item in mark], centres, clear)
    placer = _placer(template, tile, ruled, mine)
    words: list[Item] = []
    discs = [k for k, c in enumerate(template.circles) if _touches(c, window)]
    for mark in sorted(template.marks, key=lambda m: (not m.letter, -m.at[1], m.at[0])):
        if window[0] <= mark.at[0] <= window[2] and window[1] <= mark.at[1] <= window[3]:
            own = next((n for n, k in enumerate(discs) if math.dist(template.circles[k][:2], mark.at) < 1e-6), -1)
            words += set_words(mark, placer, own)
    words += seam_words(mine, tile, placer)
    words += ruled_words(ruled, template, tile, placer, unit)
    words += edge_words(template, tile, placer)
    roles = {_role(item) for item in _within(template.holes, window)}
    if HOLE_BELOW.role in roles:
        words += legend(("Dashed circles are drilled", "from the top face."), tile, placer)
    if PILOT.role in roles:
        words += legend(("Small circles are screw pilots,", "only as deep as written."), tile, placer)
    return (
        Group(
            (*template.outline, *drawn, *arms),
            name="template",
            clip=window,
            shift=tile.offset,
        ),
        Group(tuple(marked), name="marks", shift=tile.offset),
        Group(tuple(keep_bare(words, centres, clear)), name="words", shift=tile.offset),
    )


def _role(item: Item) -> str:
    return item.role if isinstance(item, Group) else item.style.role


def _within(items: Sequence[Item], window: Box) -> list[Item]:
    """The items that show in the window at all: a page of a large board need not carry the whole board."""
    x0, y0, x1, y1 = window
    found = []
    for item in items:
        box = bounds((item,))
        if box is None or (box[0] <= x1 and x0 <= box[2] and box[1] <= y1 and y0 <= box[3]):
            found.append(item)
    return found


def _ruled(ruled: Sequence[RuledLine], window: Box) -> list[Line]:
    x0, y0, x1, y1 = window
    lines = []
    for line in ruled:
        style = CENTRE_LINE if line.axis == "x" else BASELINE
        if line.axis == "x":
            lines.append(Line((line.at, y0), (line.at, y1), style))
        else:
            lines.append(Line((x0, line.at), (x1, line.at), style))
    return lines


def _seam_lines(mine: Sequence[Seam]) -> list[Line]:
    """The seams as dashed lines along the stretch they join, broken at the marks."""
    lines = []
    for seam in mine:
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


def _placer(template: Template, tile: Tile, ruled: Sequence[RuledLine], mine: Sequence[Seam]) -> Placer:
    """Everything words keep clear of on this page."""
    window = tile.window
    discs = [(x, y, r + 0.6) for x, y, r in template.circles if _touches((x, y, r), window)]
    boxes = [_around(line.a, line.b, 0.5) for line in template.crosses if isinstance(line, Line)]
    for rim in template.outline:
        boxes += _rim_boxes(rim)
    for seam in mine:
        boxes += [mark_box(name, at) for name, at in seam.marks]
    lines = [_around(line.a, line.b, 0.6) for line in [*_ruled(ruled, window), *_seam_lines(mine)]]
    lines += [side for path in template.holes if isinstance(path, Path) for side in _rim_boxes(path)]
    frame = (window[0] + 0.4, window[1] + 0.4, window[2] - 0.4, window[3] - 0.4)
    near = [b for b in boxes if b[0] < window[2] and window[0] < b[2] and b[1] < window[3] and window[1] < b[3]]
    return Placer(frame, discs, near, lines)


def _touches(circle: tuple[float, float, float], window: Box) -> bool:
    x, y, r = circle
    return window[0] - r < x < window[2] + r and window[1] - r < y < window[3] + r


def _around(a: tuple[float, float], b: tuple[float, float], by: float) -> Box:
    return (min(a[0], b[0]) - by, min(a[1], b[1]) - by, max(a[0], b[0]) + by, max(a[1], b[1]) + by)


def _rim_boxes(rim: Path) -> list[Box]:
    """Small rectangles along a rim, about 3 mm each."""
    boxes: list[Box] = []
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
        elif abs(step.end[0] - here[0]) > 0.1 and abs(step.end[1] - here[1]) > 0.1:
            count = max(2, int(math.dist(here, step.end) / 3.0))
            for k in range(1, count):
                t = k / count
                points.append((here[0] + (step.end[0] - here[0]) * t, here[1] + (step.end[1] - here[1]) * t))
        points.append(step.end)
        boxes += [_around(a, b, 0.6) for a, b in pairwise(points)]
        here = step.end
    return boxes
