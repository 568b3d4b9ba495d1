"""What of a template stands in the window of one page: ink, ruled lines, seams, and the words beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.load import catalogue
from app.drafting.labels.canvas import Canvas, lent_canvas
from app.drafting.labels.first_places import first_places
from app.drafting.labels.hole_words import set_words
from app.drafting.labels.placer import Placer
from app.drafting.labels.word_key import WordKey, Words
from app.drafting.labels.word_places import WordSetting
from app.drafting.template.bare_centres import keep_all_bare
from app.drafting.template.drill_template import HOLE_BELOW, Template
from app.drafting.template.pattern_marks import CentreMark
from app.drafting.words import exact
from app.paper.sheet.key_band import set_key
from app.paper.sheet.layout import Box, SheetLayout
from app.paper.sheet.mark_names import mark_names
from app.paper.sheet.obstacles import mark_boxes, page_ground, ruled_items, seam_items
from app.paper.sheet.registration import ARM, Seam, mark_items
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.sheet_words import edge_words, legend, ruled_words, seam_words
from app.paper.sheet.shown_in_window import Stock
from app.paper.sheet.tiling import Tile
from app.scene.palette import PILOT
from app.scene.primitives import Group, Item, Line, Point
from app.units import Unit

_FAR = 1000.0  # beyond any board, where a sheet at the rim has no seam [mm]


class DrawnMark(Struct, frozen=True):
    """A registration mark with its names, and the rectangles it takes [mm]."""

    items: tuple[Item, ...]
    boxes: Sequence[Box]


class Listing(Protocol):
    """Sets a key: what stands outside the window, and what stands in it; as :func:`set_key`."""

    def __call__(
        self, key: WordKey, layout: SheetLayout, tile: Tile, placer: Placer, /, *, cut: bool
    ) -> tuple[list[Item], list[Item]]:
        """By how a page is divided, its sheet, what is taken in its window, and whether its front seam is cut."""


class Sheets(Struct, frozen=True, dict=True):
    """What all pages of a template have in common.

    Args:
        stock: the template, ready to be asked for windows.
        layout: how each page is divided.
        ruled: lines to rule on the board first.
        seams: where each sheet meets others, by its row and column.
        works: number of each kind of work in the key.
        crowded: whether words go into the key before they go far off.
        unit: unit of the words.
        furniture: what every page has at the same place.
    """

    stock: Stock
    layout: SheetLayout
    ruled: tuple[RuledLine, ...]
    seams: Mapping[tuple[int, int], Sequence[Seam]]
    works: Mapping[Words, int]
    crowded: bool
    unit: Unit
    furniture: tuple[Group, ...]

    @cached_property
    def marks(self) -> Mapping[tuple[str, Point], DrawnMark]:
        """Each mark on a seam with its names, which stands on both sheets of the seam."""
        marks = {(name, at): seam for seams in self.seams.values() for seam in seams for name, at in seam.marks}
        asked = [(name, at, seam) for (name, at), seam in marks.items()]
        names = mark_names(asked, self.stock, self.ruled)
        drawn = ((*mark_items(at), *texts) for (_, at), texts in zip(marks, names, strict=True))
        return {mark: DrawnMark(items, mark_boxes(items)) for mark, items in zip(marks, drawn, strict=True)}


def seams_beside(seams: Sequence[Seam]) -> dict[tuple[int, int], list[Seam]]:
    """The seams of each sheet, by its row and column."""
    found: dict[tuple[int, int], list[Seam]] = {}
    for seam in seams:
        for tile in (seam.first, seam.second):
            found.setdefault((tile.row, tile.column), []).append(seam)
    return found


def page_ink(sheets: Sheets, tile: Tile, key: WordKey, listing: Listing = set_key) -> tuple[Group, ...]:
    """Groups ``template`` (clipped to the window), ``marks``, ``words`` and ``key``, shifted to their place.

    ``key`` takes what is not written out, and ``listing`` sets what it holds.
    """
    with lent_canvas() as canvas:
        return _page_ink(sheets, tile, key, canvas, listing)


def _page_ink(sheets: Sheets, tile: Tile, key: WordKey, canvas: Canvas, listing: Listing) -> tuple[Group, ...]:
    stock, window = sheets.stock, tile.window
    template = stock.template
    mine = sheets.seams.get((tile.row, tile.column), ())
    clear = catalogue().rule("centre-gap") + 0.3
    centres = stock.centres(window, clear + ARM)
    ruled, seams = [*ruled_items(sheets.ruled, window), *template.datum], seam_items(mine)
    marks = [sheets.marks[mark] for seam in mine for mark in seam.marks]
    marked = [item for mark in marks for item in mark.items]
    ground = page_ground(stock, window, ruled, seams, [box for mark in marks for box in mark.boxes])
    placer = Placer(ground, canvas)
    words = _words(sheets, tile, mine, placer, key)
    cut = any(seam.axis == "y" and seam.second == tile for seam in mine)
    listed, beside = listing(key, sheets.layout, tile, placer, cut=cut)
    lots = ([*_broken(ruled, placer), *seams, *stock.holes(window)], marked, [*words, *beside])
    drawn, marked, words = keep_all_bare(lots, centres, clear)
    return (
        Group(
            (*stock.outline(window), *drawn, *stock.crosses(window), *stock.numbers(window)),
            name="template",
            clip=window,
            shift=tile.offset,
        ),
        Group(tuple(marked), name="marks", shift=tile.offset),
        Group(tuple(words), name="words", shift=tile.offset),
        Group(tuple(listed), name="key"),
    )


def _words(sheets: Sheets, tile: Tile, mine: Sequence[Seam], placer: Placer, key: WordKey) -> list[Item]:
    """All words in the window; on a crowded board those along lines come first, as they have fewest places."""
    template = sheets.stock.template

    def along() -> list[Item]:
        return [
            *seam_words(mine, tile, placer, key),
            *ruled_words(sheets.ruled, template, tile, placer, key, sheets.unit),
            *edge_words(template, tile, placer),
        ]

    if sheets.crowded:
        words = along()
        words += _hole_words(sheets, tile, placer, key)
    else:
        words = _hole_words(sheets, tile, placer, key)
        words += along()
    roles = {_role(item) for item in sheets.stock.holes(tile.window)}
    if HOLE_BELOW.role in roles:
        words += legend(("Dashed circles are drilled", "from the top face."), tile, placer, key)
    if PILOT.role in roles:
        words += legend(("Small circles are screw pilots,", "only as deep as written."), tile, placer, key)
    return words


def _hole_words(sheets: Sheets, tile: Tile, placer: Placer, key: WordKey) -> list[Item]:
    """The words of every hole in the window; first of those whose own sheet this is."""
    cell = _reach(tile, sheets.stock.template.box)
    x0, y0, x1, y1 = cell
    marks = [(x0 <= m.at[0] <= x1 and y0 <= m.at[1] <= y1, m) for m in sheets.stock.marks(tile.window)]
    marks.sort(key=lambda pair: (not pair[0], not pair[1].letter, -pair[1].at[1], pair[1].at[0]))
    here, beside = (WordSetting(cell, own, sheets.crowded) for own in (True, False))
    ways = [here if own else beside for own, _ in marks]
    firsts = first_places([mark for _, mark in marks], placer, ways)
    words: list[Item] = []
    for (own, mark), way, first in zip(marks, ways, firsts, strict=True):
        found = set_words(mark, placer, key, way, first)
        if found is not None:
            words += found
        elif own:
            key.loose(f"{_by_place(mark, sheets)}: {key.said(mark)}")
    return words


def _reach(tile: Tile, box: Box) -> Box:
    """A sheet's part of the board between the seams; beyond the rim all that the paper has."""
    x0, y0, x1, y1 = tile.cell
    return (
        x0 if x0 > box[0] else x0 - _FAR, y0 if y0 > box[1] else y0 - _FAR,
        x1 if x1 < box[2] else x1 + _FAR, y1 if y1 < box[3] else y1 + _FAR,
    )  # fmt: skip


def _by_place(mark: CentreMark, sheets: Sheets) -> str:
    """A hole with no room for even a number is listed by its place on the board."""
    template: Template = sheets.stock.template
    left = abs(mark.at[0] - template.view.x(template.box[0]))
    up = mark.at[1] - template.box[1]
    return f"{exact(left, sheets.unit)} from the left, {exact(up, sheets.unit)} from the front"


def _broken(ruled: Sequence[Line], placer: Placer) -> list[Line]:
    """Ruled lines without the stretches words stand on."""
    kept: list[Line] = []
    for line in ruled:
        along = 0 if line.a[1] == line.b[1] else 1
        box = (*line.a, *line.b)
        here = line.a[along]
        for low, high in sorted((b[along], b[along + 2]) for b in placer.taken(box)):
            if low > here:
                kept.append(_part(line, here, low, along))
            here = max(here, high)
        if here < line.b[along]:
            kept.append(_part(line, here, line.b[along], along))
    return kept


def _part(line: Line, low: float, high: float, along: int) -> Line:
    if along == 0:
        return Line((low, line.a[1]), (high, line.a[1]), line.style)
    return Line((line.a[0], low), (line.a[0], high), line.style)


def _role(item: Item) -> str:
    return item.role if isinstance(item, Group) else item.style.role
