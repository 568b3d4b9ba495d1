"""Where the key of a sheet stands: in a band of its own, in a free place of the window, or beside the check bars."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, log2
from typing import Final

from app.catalogue.load import catalogue
from app.drafting.labels.crowding import CROWDED, FILLED, crowding
from app.drafting.labels.placer import Placer
from app.drafting.labels.word_key import WordKey, works_of
from app.drafting.template.drill_template import Template
from app.paper.sheet.layout import Box, SheetLayout
from app.paper.sheet.sheet_words import in_the_window
from app.paper.sheet.tiling import Tile
from app.scene.metrics import ASCENT, text_width
from app.scene.palette import TEXT
from app.scene.primitives import Item, Text

_SIZES: Final = (2.8, 2.6, 2.4, 2.2, 2.0, 1.8)
_PITCH: Final = 1.3
_APART: Final = 5.0
_HEAD: Final = "Key: "
_KEPT: Final = "Key, to keep when this sheet is cut: "
_TOP: Final = 0.7  # between the window and the letters of the band [mm]
_LINES: Final = 280.0  # what ruled lines, seams and the kinds of circles may have to say of themselves [mm]
_LEAST: Final = 120.0  # width of a band that words of one kind of work fit in [mm]
_NARROW: Final = 150.0  # the width that is usual between two seams on the narrowest paper [mm]
_MOST: Final = 45.0


def key_height(template: Template) -> float:
    """How high a band a template needs for its key on any paper [mm]; 0 if its sheets have free places for it.

    An estimate: what lines and seams may say, every kind of work, and the more holes the closer they are.
    """
    full = crowding(template)
    if full < FILLED:
        return 0.0
    length = _LINES * (1.0 if full > CROWDED else 0.5)
    length += sum(text_width(f"[9] {', '.join(work)}", _SIZES[0]) + _APART for work in works_of(template.marks))
    rows = ceil(length / _NARROW) + min(int(1.2 * log2(1 + full)), 5)
    return min(rows * _PITCH * _SIZES[0] + _TOP, _MOST)


def set_key(
    key: WordKey, layout: SheetLayout, tile: Tile, placer: Placer, *, cut: bool
) -> tuple[list[Item], list[Item]]:
    """The key: what stands outside the window, in the coordinates of the page, and what stands in it.

    What does not fit in the band at a size that can be read goes into free places of the window, then beside the
    check bars.

    Args:
        key: what is listed.
        layout: how the page is divided.
        tile: which sheet it is.
        placer: what is taken in its window.
        cut: whether the sheet is cut at its front seam, and the band with it.
    """
    entries = list(key.entries)
    if not entries:
        return [], []
    if layout.key[3] - layout.key[1] < _SIZES[-1]:
        inside, left = in_the_window(entries, tile, placer, _HEAD.strip())
        return _beside_the_bars(left, layout), inside
    box = _uncut(layout, tile)
    head = _KEPT if cut else _HEAD
    rows, size, left = _fitted(entries, box, head)
    inside, left = in_the_window(left, tile, placer)
    return _band(rows, size, box, head) + _beside_the_bars(left, layout), inside


def _uncut(layout: SheetLayout, tile: Tile) -> Box:
    """The part of the band between the seams, where no cut goes through it and no other sheet covers it.

    All of the band if that part is narrow.
    """
    x0, y0, x1, y1 = layout.key
    low, high = max(x0, tile.cell[0] + tile.offset[0] + 1.0), min(x1, tile.cell[2] + tile.offset[0] - 1.0)
    return (low, y0, high, y1) if high - low >= _LEAST else layout.key


def _fitted(entries: Sequence[str], box: Box, head: str) -> tuple[list[list[str]], float, list[str]]:
    """The entries in rows at the largest size at which all fit; else at the smallest, and what is left over."""
    rows: list[list[str]] = []
    for size in _SIZES:
        rows = _rows(entries, box[2] - box[0], size, head)
        most = max(int((box[3] - box[1] - _TOP + 1e-9) / (_PITCH * size)), 1)
        if len(rows) <= most and all(text_width(entry, size) <= box[2] - box[0] for entry in entries):
            return rows, size, []
    return rows[:most], size, [entry for row in rows[most:] for entry in row]


def _rows(entries: Sequence[str], width: float, size: float, head: str = "") -> list[list[str]]:
    """Entries one after another, none broken over two rows."""
    rows: list[list[str]] = [[]]
    used = text_width(head, size, bold=True)
    for entry in entries:
        long = text_width(entry, size)
        if rows[-1] and used + long > width:
            rows.append([])
            used = 0.0
        rows[-1].append(entry)
        used += long + _APART
    return rows


def _band(rows: Sequence[Sequence[str]], size: float, box: Box, head: str) -> list[Item]:
    x0, first = box[0], box[3] - _TOP - ASCENT * size
    items: list[Item] = [Text((x0, first), head.strip(), size, TEXT, bold=True)]
    for number, row in enumerate(rows):
        x = x0 + (text_width(head, size, bold=True) if number == 0 else 0.0)
        for entry in row:
            items.append(Text((x, first - number * _PITCH * size), entry, size, TEXT))
            x += text_width(entry, size) + _APART
    return items


def _beside_the_bars(entries: Sequence[str], layout: SheetLayout) -> list[Item]:
    """In the column of the upright check bars, above them, read from the right."""
    if not entries:
        return []
    x0, y0, x1, y1 = layout.side
    low, high = y0 + catalogue().rule("check-bar-inch") + 16.0, y1 - 8.0
    rows: list[list[str]] = []
    for size in (*_SIZES[2:], 1.6, 1.4, 1.2, 1.0):
        rows = _rows(entries, high - low, size)
        if len(rows) * _PITCH * size <= x1 - x0 - 1.0:
            break
    items: list[Item] = []
    for number, row in enumerate(rows):
        y = low
        for entry in row:
            items.append(Text((x0 + (ASCENT + _PITCH * number) * size, y), entry, size, TEXT, angle=90.0))
            y += text_width(entry, size) + _APART
    return items
