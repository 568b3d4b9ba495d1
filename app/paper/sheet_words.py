"""Words along lines of a sheet: what a ruled line is, which sheet joins at a seam, which edge is the datum."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.drill_template import Template
from app.drafting.placer import CLASH, Box, Placer
from app.drafting.words import exact
from app.paper.registration import Seam
from app.paper.ruled import RuledLine
from app.paper.tiling import Tile
from app.scene.metrics import ASCENT, DESCENT, text_width
from app.scene.palette import TEXT, TEXT_GUIDE, TEXT_MUTED
from app.scene.primitives import Item, Style, Text
from app.units import Unit

_SIZE = 3.2
_SMALL = 2.8
_PACE = 4.0
_CLEAR, _CROSSING = 9.5, 39.0  # costs below which words cross no line, and only one


def ruled_words(ruled: Sequence[RuledLine], template: Template, tile: Tile, placer: Placer, unit: Unit) -> list[Item]:
    """Beside each ruled line that is on this sheet: how far it is from its datum edge."""
    x0, y0, x1, y1 = tile.window
    box = template.box
    items: list[Item] = []
    for line in ruled:
        low, high = (x0, x1) if line.axis == "y" else (y0, y1)
        if not low < line.at < high and not (x0 if line.axis == "x" else y0) < line.at < (
            x1 if line.axis == "x" else y1
        ):
            continue
        if not (x0 < line.at < x1 if line.axis == "x" else y0 < line.at < y1):
            continue
        edge = "left" if line.axis == "x" else "front"
        name = "centre line" if line.centre else "rule"
        where = f"{exact(line.distance, unit)} from the {edge} edge"
        options = (f"{name}, {where}: rule it on the board" if line.centre else f"rule on the board, {where}", where)
        along = (max(low, box[1] if line.axis == "x" else box[0]), min(high, box[3] if line.axis == "x" else box[2]))
        items += _beside(options, line.axis, line.at, along, placer, TEXT_GUIDE, (1.0, -1.0))
    return items


def seam_words(seams: Sequence[Seam], tile: Tile, placer: Placer) -> list[Item]:
    """Along each seam: which sheet joins there, and which of the two is cut."""
    items: list[Item] = []
    for seam in seams:
        other = seam.second if tile == seam.first else seam.first
        name = f"row {other.row}, column {other.column}"
        if tile == seam.first:
            options: tuple[str, ...] = (f"joins {name}, which goes on top", f"joins {name}")
            sides = (1.0, -1.0)
        else:
            options = (f"cut here; joins {name}, on top of it", f"cut here; joins {name}", f"joins {name}")
            sides = (-1.0, 1.0)
        if seam.axis == "x":
            sides = (-sides[0], -sides[1])
        beside = _beside(options, seam.axis, seam.at, (seam.low, seam.high), placer, TEXT, sides)
        items += beside or legend((f"{_SIDES[seam.axis][tile == seam.first]} joins {name}",), tile, placer)
    return items


_SIDES = {"x": ("left side", "right side"), "y": ("front side", "back side")}
"""Where a seam is on its second sheet and on its first."""


def edge_words(template: Template, tile: Tile, placer: Placer) -> list[Item]:
    """Inside the rim: which edge is the front, and which the left datum edge."""
    x0, y0, x1, y1 = template.box
    wx0, wy0, wx1, wy1 = tile.window
    items: list[Item] = []
    if wy0 < y0 < wy1:
        options = ("front edge, toward the player", "front edge")
        items += _beside(options, "y", y0, (max(wx0, x0), min(wx1, x1)), placer, TEXT_MUTED, (1.0,))
    left = template.view.x(x0)
    if wx0 < left < wx1:
        side = 1.0 if template.view.mirrored else -1.0
        options = ("left edge, measure from here", "left edge")
        items += _beside(options, "x", left, (max(wy0, y0), min(wy1, y1)), placer, TEXT_MUTED, (side,))
    return items


def legend(lines: Sequence[str], tile: Tile, placer: Placer) -> list[Item]:
    """A few lines in a free place low on the sheet, clear of everything; nothing if there is none."""
    x0, y0, x1, y1 = tile.window
    pitch = 1.3 * _SIZE
    width = max(text_width(line, _SIZE) for line in lines)
    height = pitch * len(lines)
    spots = [
        (x0 + 3.0 + 6.0 * i, y0 + 3.0 + 6.0 * j)
        for j in range(int(max(y1 - y0 - height - 6.0, 0.0) / 6.0) + 1)
        for i in range(int(max(x1 - x0 - width - 6.0, 0.0) / 6.0) + 1)
    ]
    boxes = [(x - 1.0, y - 1.0, x + width + 1.0, y + height + 1.0) for x, y in spots]
    index, cost = placer.choose(boxes, [0.01 * k for k in range(len(boxes))])
    if cost >= CLASH:
        return []
    placer.take(boxes[index])
    x, y = spots[index]
    return [Text((x, y + height - 0.8 * _SIZE - k * pitch), line, _SIZE, TEXT_MUTED) for k, line in enumerate(lines)]


def _beside(
    options: Sequence[str],
    axis: str,
    at: float,
    along: tuple[float, float],
    placer: Placer,
    style: Style,
    sides: Sequence[float],
) -> list[Item]:
    """The first of ``options`` that finds a free place beside a line; nothing if none does.

    ``sides`` are tried in order: 1 is above a level line, or to the left of an upright one, whose words are
    read from the right.
    """
    for size, most in ((_SIZE, _CLEAR), (_SIZE, _CROSSING), (_SMALL, CLASH)):
        for text in options:
            width = text_width(text, size)
            boxes, anchors, tolls = _along(width, size, axis, at, along, sides)
            if not boxes:
                continue
            index, cost = placer.choose(boxes, tolls)
            if cost < most:
                placer.take(boxes[index])
                return [Text(anchors[index], text, size, style, angle=90.0 if axis == "x" else 0.0)]
    return []


def _along(
    width: float, size: float, axis: str, at: float, along: tuple[float, float], sides: Sequence[float]
) -> tuple[list[Box], list[tuple[float, float]], list[float]]:
    """Boxes beside a line, the anchor of the words in each, and how little each is liked."""
    boxes: list[Box] = []
    anchors: list[tuple[float, float]] = []
    tolls: list[float] = []
    low, high = along[0] + 2.0, along[1] - 2.0 - width
    count = int(max(high - low, 0.0) / _PACE) + 1 if high >= low else 0
    for rank, side in enumerate(sides):
        # Baseline off the line: letters stand above it, or hang below it by their height.
        off = 0.9 + DESCENT * size if side > 0 else -0.9 - ASCENT * size
        for k in range(count):
            start = low + k * _PACE
            if axis == "y":
                anchor = (start, at + off)
                box = (start, anchor[1] - DESCENT * size, start + width, anchor[1] + ASCENT * size)
            else:
                anchor = (at - off, start)
                box = (anchor[0] - ASCENT * size, start, anchor[0] + DESCENT * size, start + width)
            boxes.append(box)
            anchors.append(anchor)
            tolls.append(30.0 * rank + 0.05 * k)
    return boxes, anchors, tolls
