"""The sheets laid over the board, as they will print: for the screen."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from app.drafting.facing import facing
from app.drafting.forms import box_path, shape_item
from app.drafting.view.plan import blank
from app.drafting.words import face_words
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import SheetSet
from app.paper.sheet.tiling import Tile
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import BASELINE, CENTRE_LINE, COUNTERBORE, HOLE_OPEN, SEAM_MARK, TEXT, TEXT_MUTED
from app.scene.primitives import Circle, Group, Item, Line, Scene, Style, Text

Floats = npt.NDArray[np.float64]

_PAGE = Style(stroke=None, fill="#ffffff", role="sheet-page")
_RIM = Style(stroke="#5a5f64", width=0.4, opacity=0.55, role="sheet-rim")
_SHARES = (0.14, 0.3, 0.5, 0.7, 0.86)
"""Where a sheet's name may stand, as shares of the height of its part of the board; the first is preferred."""
_SEAM = Style(stroke="#0f6b6b", width=0.9, dash=(4.0, 2.5), role="sheet-seam")


def sheet_map(board: ResolvedBoard, sheets: SheetSet) -> Scene:
    """The board of the sheets' face with every page on it, its window, seams, marks and ruled lines.

    Each page is a group ``sheet-<row>-<column>`` with its place in its data.
    """
    face: Face = sheets.template.face
    view, tiling = facing(board, face), sheets.tiling
    x0, y0, x1, y1 = board.outline.bounds
    scale = max(x1 - x0, 1.5 * (y1 - y0)) / 640.0
    boxes = []
    for tile in tiling.tiles:
        left, low = -tile.offset[0], -tile.offset[1]
        boxes.append((left, low, left + tiling.layout.page[0], low + tiling.layout.page[1]))
    items: list[Item] = [box_path(box, _PAGE) for box in boxes]
    items += blank(board, view, scale)
    for placed in board.drilled:
        items += [shape_item(view.shape(h.shape), HOLE_OPEN) for h in placed.holes]
        if placed.bore is not None:
            items.append(shape_item(view.shape(placed.bore), COUNTERBORE))
    items += [Group((box_path(box, _RIM),), role="sheet") for box in boxes]
    items += _lines(sheets)
    circles = np.array(sheets.template.circles, float).reshape(-1, 3)
    items += [_name(tile, circles, board, scale) for tile in tiling.tiles]
    word = face_words(face)
    edge = 4.0 * scale
    return Scene(
        min(b[0] for b in boxes) - edge,
        min(b[1] for b in boxes) - edge,
        max(b[2] for b in boxes) + edge,
        max(b[3] for b in boxes) + edge,
        (*items, Text((x0, y0 - 9.0 * scale), word, 6.4 * scale, TEXT_MUTED)),
        title=f"Sheets of {board.title}: {board.name}, {word}",
        note=f"{len(tiling.tiles)} sheets of {tiling.layout.paper.name}, {tiling.orientation}",
    )


def _lines(sheets: SheetSet) -> list[Item]:
    tiling = sheets.tiling
    x0, y0, x1, y1 = sheets.template.box
    items: list[Item] = []
    for line in sheets.ruled:
        if line.axis == "x":
            items.append(Line((line.at, y0), (line.at, y1), CENTRE_LINE))
        else:
            items.append(Line((x0, line.at), (x1, line.at), BASELINE))
    items += [Line((x, y0), (x, y1), _SEAM) for x in tiling.vertical]
    items += [Line((x0, y), (x1, y), _SEAM) for y in tiling.horizontal]
    items += [Circle(at, 2.4, SEAM_MARK) for seam in sheets.seams for _, at in seam.marks]
    return items


def _name(tile: Tile, circles: Floats, board: ResolvedBoard, scale: float) -> Group:
    """A sheet's place in words, as low on its part of the board as none of the holes, shape (n, 3), is in the way."""
    bx0, by0, bx1, by1 = board.outline.bounds
    x0, y0, x1, y1 = tile.cell
    left, right, low, high = max(x0, bx0), min(x1, bx1), max(y0, by0), min(y1, by1)
    size = 9.0 * scale
    text = f"row {tile.row}, column {tile.column}"
    half = (0.6 * text_width(text, size, bold=True), size)
    x = (left + right) / 2

    heights = low + np.array(_SHARES) * (high - low)
    cx, cy, r = circles.T
    gaps = np.maximum(np.abs(cx - x) - half[0], np.abs(cy - heights[:, None]) - half[1])
    y = float(heights[np.argmin(np.maximum(r - gaps, 0.0).sum(axis=1))])
    words = Text((x, y - CAP_HEIGHT * size / 2), text, size, TEXT, "middle", bold=True)
    data = {"row": str(tile.row), "column": str(tile.column)}
    return Group((words,), name=f"sheet-{tile.row}-{tile.column}", data=data)
