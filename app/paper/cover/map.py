"""Small maps on a cover sheet: which sheet lies where on the board, and the distances to measure."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.drafting.forms import Box, box_path
from app.drafting.scaling import scaled
from app.paper.cover.measures import LetteredHole, Pair
from app.paper.sheet.sheets import SheetSet
from app.scene.metrics import CAP_HEIGHT, text_box, text_width
from app.scene.palette import BASELINE, FRAME_FILLED, HOLE, MEASURE, OUTLINE, SHEET_EDGE, TEXT, TEXT_LIGHT, TEXT_MUTED
from app.scene.primitives import Circle, Group, Item, Line, Path, Point, Style, Text
from app.values import replace

Floats = npt.NDArray[np.float64]

_RIM = replace(OUTLINE, width=0.35)
_HOLE = Style(stroke="#5a5f64", width=0.13, role="hole")
_DOT = Style(stroke=None, fill="#0a5050", role="measure")
SEAM = replace(SHEET_EDGE, stroke="#23272b", width=0.25)
"""Where two sheets meet, on the map."""

_EDGE = 7.0  # room for the names of rows and columns, and below for the front edge [mm]
_SMALL = 2.5
_LETTER = 3.4


class _Scaled(Struct, frozen=True):
    """From the drawing of a face to the map: enlarged by ``k``, then moved."""

    k: float
    move: Point

    def __call__(self, p: Point) -> Point:
        return (self.k * p[0] + self.move[0], self.k * p[1] + self.move[1])


def small_map(sheets: SheetSet, box: Box, pairs: Sequence[Pair], first_page: int) -> Group:
    """The board of the sheets' face inside ``box``, with its seams, ruled lines and the page of every sheet.

    Args:
        sheets: of one face.
        box: where the map may be [mm].
        pairs: distances to draw between holes, in coordinates of the top face; empty on the underside.
        first_page: number of the page the first sheet is printed on.
    """
    bx0, by0, bx1, by1 = sheets.template.box
    x0, y0, x1, y1 = box
    k = min((x1 - x0 - 2 * _EDGE) / (bx1 - bx0), (y1 - y0 - 2 * _EDGE) / (by1 - by0))
    move = ((x0 + x1 - k * (bx0 + bx1)) / 2, (y0 + y1 - k * (by0 + by1)) / 2)
    to = _Scaled(k, move)
    sawn = [i for i in sheets.template.holes if isinstance(i, Path) and i.style.role == HOLE.role]
    ringed = (*(replace(p, style=_RIM) for p in sheets.template.outline), *(replace(p, style=_HOLE) for p in sawn))
    rims = scaled(ringed, k)
    drilled = {item.centre for item in sheets.template.holes if isinstance(item, Circle)}
    holes = [Circle(to((x, y)), k * r, _HOLE) for x, y, r in sheets.template.circles if (x, y) in drilled]
    words = _grid_names(sheets, to)
    numbers, boxes = _numbers(sheets, to, first_page)
    taken = [*boxes, *(_text_bounds(word) for word in words)]
    shown = [hole for pair in pairs for hole in (pair.a, pair.b)]
    measures: list[Item] = [Line(to(pair.a.at), to(pair.b.at), MEASURE) for pair in pairs]
    measures += [Circle(to(hole.at), 0.8, _DOT) for hole in dict.fromkeys(shown)]
    letters = _letters(list(dict.fromkeys(shown)), sheets, to, taken)
    return Group(
        (Group(rims, shift=move), *holes, *_lines(sheets, to), *measures, *numbers, *words, *letters),
        name=f"cover-map-{sheets.template.face}",
    )


def map_scale(sheets: SheetSet, box: Box) -> float:
    """How many times smaller than the board the map in ``box`` is."""
    bx0, by0, bx1, by1 = sheets.template.box
    return max((bx1 - bx0) / (box[2] - box[0] - 2 * _EDGE), (by1 - by0) / (box[3] - box[1] - 2 * _EDGE))


def _holes(sheets: SheetSet, to: _Scaled) -> Floats:
    """The holes as they stand on the map: centres and radii, shape (n, 3) [mm]."""
    return np.array([(*to((x, y)), to.k * r) for x, y, r in sheets.template.circles], float).reshape(-1, 3)


def _lines(sheets: SheetSet, to: _Scaled) -> list[Item]:
    x0, y0, x1, y1 = sheets.template.box
    items: list[Item] = []
    for line in sheets.ruled:
        a, b = ((line.at, y0), (line.at, y1)) if line.axis == "x" else ((x0, line.at), (x1, line.at))
        items.append(Line(to(a), to(b), BASELINE))
    items += [Line(to((x, y0)), to((x, y1)), SEAM) for x in sheets.tiling.vertical]
    items += [Line(to((x0, y)), to((x1, y)), SEAM) for y in sheets.tiling.horizontal]
    return items


def _grid_names(sheets: SheetSet, to: _Scaled) -> list[Text]:
    """Columns above the board, rows at its left, and the front below."""
    x0, y0, x1, y1 = sheets.template.box
    tiling = sheets.tiling
    xs, ys = [x0, *tiling.vertical, x1], [y0, *tiling.horizontal, y1]
    items = []
    for n in range(tiling.columns):
        cell = to.k * (xs[n + 1] - xs[n])
        name = f"column {n + 1}" if text_width(f"column {n + 1}", _SMALL) < cell else f"{n + 1}"
        at = to(((xs[n] + xs[n + 1]) / 2, y1))
        items.append(Text((at[0], at[1] + 1.6), name, _SMALL, TEXT_MUTED, "middle"))
    for n in range(tiling.rows):
        cell = to.k * (ys[-1 - n] - ys[-2 - n])
        name = f"row {n + 1}" if text_width(f"row {n + 1}", _SMALL) < cell else f"{n + 1}"
        at = to((x0, (ys[-1 - n] + ys[-2 - n]) / 2))
        items.append(Text((at[0] - 1.6, at[1]), name, _SMALL, TEXT_MUTED, "middle", 90.0))
    front = to(((x0 + x1) / 2, y0))
    words = "front, towards the player" if sheets.template.played else "front"
    items.append(Text((front[0], front[1] - 3.6), words, _SMALL, TEXT_MUTED, "middle"))
    return items


def _numbers(sheets: SheetSet, to: _Scaled, first: int) -> tuple[list[Item], list[Box]]:
    """The page of each sheet, light on dark, in the corner of its part of the board where fewest holes are."""
    holes = _holes(sheets, to)
    x0, y0, x1, y1 = sheets.template.box
    items: list[Item] = []
    boxes: list[Box] = []
    for page, tile in enumerate(sheets.tiling.tiles, start=first):
        left, top = to((max(tile.cell[0], x0), min(tile.cell[3], y1)))
        right, low = to((min(tile.cell[2], x1), max(tile.cell[1], y0)))
        size = min(_LETTER, 0.6 * (top - low), 0.5 * (right - left))
        wide = text_width(str(page), size, bold=True) + 0.7 * size
        high = 1.25 * size
        corners = [(a, b) for b in (top - 0.5 - high, low + 0.5) for a in (left + 0.5, right - 0.5 - wide)]
        options = [(a, b, a + wide, b + high) for a, b in corners]
        box = min(options, key=lambda option: _covered(option, holes))
        items.append(box_path(box, FRAME_FILLED))
        at = ((box[0] + box[2]) / 2, (box[1] + box[3] - CAP_HEIGHT * size) / 2)
        items.append(Text(at, str(page), size, TEXT_LIGHT, "middle", bold=True))
        boxes.append(box)
    return items, boxes


def _covered(box: Box, holes: Floats) -> float:
    """How much of the squares round ``holes``, shape (n, 3), a rectangle covers [mm²]."""
    x, y, r = holes.T
    wide = np.minimum(box[2], x + r) - np.maximum(box[0], x - r)
    high = np.minimum(box[3], y + r) - np.maximum(box[1], y - r)
    return float((np.maximum(wide, 0.0) * np.maximum(high, 0.0)).sum())


def _letters(shown: Sequence[LetteredHole], sheets: SheetSet, to: _Scaled, taken: list[Box]) -> list[Item]:
    """The letter of each hole that is measured, beside its dot, where no other words and fewest holes are."""
    items: list[Item] = []
    holes = _holes(sheets, to)

    def toll(option: Text) -> float:
        box = _text_bounds(option)
        return 100.0 * sum(_overlap(box, other) for other in taken) + _covered(box, holes)

    low, rise = 1.3, CAP_HEIGHT * _LETTER
    for hole in shown:
        x, y = to(hole.at)
        places: list[tuple[Point, str]] = [
            ((x + low, y + 0.6), "start"), ((x - low, y + 0.6), "end"), ((x + low, y - rise - 0.6), "start"),
            ((x - low, y - rise - 0.6), "end"), ((x, y + low), "middle"), ((x, y - rise - low), "middle"),
            ((x + 2.5 * low, y - rise / 2), "start"), ((x - 2.5 * low, y - rise / 2), "end"),
        ]  # fmt: skip
        options = [_letter(at, hole.name, anchor) for at, anchor in places]
        text = min(options, key=toll)
        taken.append(_text_bounds(text))
        items.append(text)
    return items


def _letter(at: Point, name: str, anchor: str) -> Text:
    style = replace(TEXT, fill="#0a5050")
    if anchor == "start":
        return Text(at, name, _LETTER, style, "start", bold=True)
    return Text(at, name, _LETTER, style, "end" if anchor == "end" else "middle", bold=True)


def _text_bounds(text: Text) -> Box:
    xs, ys = zip(*text_box(text), strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def _overlap(a: Box, b: Box) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0
